"""Addresses are written in one place: every screen that is named exists, and gets the values that it reads."""

import ast
import inspect
import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from fastapi.routing import APIRoute
from jinja2 import nodes

from portal.app import ROUTERS
from portal.places import TEMPLATES
from portal.web.frame.links import SCREENS, Screens, band_base, path_to, path_to_question
from portal.web.frame.pages import environment
from tests.test_layers import ROOT

GLUED = r"path_to\((?:[^()]|\([^()]*\))*\)\s*\+|\{path_to\([^}]*\}[/?#]"


EVERYWHERE = frozenset({"anchor", "language"})
"""What an address may say that no screen reads itself: a place on the page, and the language that the frame reads."""


@dataclass(frozen=True)
class Named:
    """One call of ``path_to``: where it stands, the screen, whether it has a base, and its values' names."""

    where: str
    screen: str
    base: bool
    values: frozenset[str]
    open: bool = False
    """True: more values come from a dictionary."""


def in_python(text: str, where: str) -> Iterator[Named]:
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "path_to" and node.args:
            first = node.args[0]
            screens = [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]
            names = {word.arg for word in node.keywords if word.arg}
            for one in screens:
                if isinstance(one, ast.Constant):
                    yield Named(
                        f"{where}:{node.lineno}",
                        one.value,
                        len(node.args) > 1,
                        frozenset(names - EVERYWHERE),
                        len(names) < len(node.keywords),
                    )


def in_templates() -> Iterator[Named]:
    for file in sorted(TEMPLATES.rglob("*.html")):
        for node in environment().parse(file.read_text("utf-8")).find_all(nodes.Call):
            if isinstance(node.node, nodes.Name) and node.node.name == "path_to":
                first = node.args[0]
                assert isinstance(first, nodes.Const), file
                names = frozenset(word.key for word in node.kwargs) - EVERYWHERE
                yield Named(f"{file.name}:{node.lineno}", first.value, len(node.args) > 1, names)


def every_address() -> list[Named]:
    files = [*(ROOT / "portal").rglob("*.py"), ROOT / "tests" / "web" / "world.py"]
    named = [one for file in files for one in in_python(file.read_text("utf-8"), file.name)]
    return [*named, *in_templates()]


def handler(screen: str) -> str:
    """The source of the file whose function answers the screen."""
    routes = (route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute))
    endpoint = next(route.endpoint for route in routes if route.endpoint.__name__ == screen)
    return inspect.getsource(inspect.getmodule(endpoint))


def faults(named: Named) -> list[str]:
    if named.screen not in SCREENS:
        return [f"{named.where}: no screen is called {named.screen}"]
    path, values = SCREENS[named.screen]
    found = []
    if named.base != path.startswith("{base}"):
        found.append(f"{named.where}: {named.screen} and its base")
    if not named.open and values - named.values:
        found.append(f"{named.where}: {named.screen} lacks {sorted(values - named.values)}")
    source = handler(named.screen)
    found += [
        f"{named.where}: {named.screen} does not read {value}"
        for value in named.values - values
        if not re.search(rf"\b{value}\b", source)
    ]
    return found


def test_every_address_leads_somewhere() -> None:
    """Each screen that a handler or template names is answered, with its base and the values of its path; whatever
    else it is given, its file reads.
    """
    named = every_address()
    assert len(named) > 200
    assert [fault for one in named for fault in faults(one)] == []


@pytest.mark.parametrize(
    "planted",
    [
        'path_to("show_plam", base)',
        'path_to("show_plan")',
        'path_to("show_rig", base, rig_id="1")',
        'path_to("show_rig")',
        'path_to("show_rig", rig_id="1", bakc=2)',
        'path_to("show_rig" if so else "show_rug", rig_id="1")',
    ],
)
def test_a_planted_fault_is_found(planted: str) -> None:
    """A misspelt screen, base, value or query name is found."""
    assert [fault for one in in_python(planted, "planted") for fault in faults(one)]


def test_no_template_and_no_handler_glues_an_address() -> None:
    """What leads somewhere is a page's field or comes from ``path_to``: no template writes a path, no handler adds to
    one.
    """
    for file in TEMPLATES.rglob("*.html"):
        if file.parent.name != "print":
            written = re.findall(r'(?:href|action|src)="(/[^"]*)"', file.read_text("utf-8"))
            assert [one for one in written if one != "/static/portal.webmanifest"] == [], file.name
    for file in (ROOT / "portal" / "web").rglob("*.py"):
        if file.name != "links.py":
            assert re.findall(GLUED, file.read_text("utf-8")) == [], file.name


def test_values_go_where_they_belong() -> None:
    """Values of the path are quoted whole; the rest is the query, without what is empty."""
    assert path_to("show_rig", rig_id="a/b") == "/rigs/a%2Fb"
    assert path_to("show_rig", rig_id="r", saved=0) == "/rigs/r"
    assert path_to("show_rig", rig_id="r", saved=3) == "/rigs/r?saved=3"
    assert path_to("show_row", rig_id="r", key="a&b c") == "/rigs/r/row?key=a%26b%20c"
    assert path_to("show_sign_in", then="/members") == "/sign-in?then=/members"
    assert path_to("show_plan", band_base("g")) == "/gigs/g/plan"
    assert path_to_question("/house/g", "pa") == "/house/g/questions/room#pa"
    with pytest.raises(KeyError):
        path_to("show_rig")


def test_two_screens_of_one_name_are_refused() -> None:
    """A name leads to one place."""
    screens = Screens()
    with pytest.raises(ValueError, match="two screens are called show_plan"):

        @screens.get("/elsewhere")
        def show_plan() -> None: ...
