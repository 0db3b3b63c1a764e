"""The wheel alone is the whole portal."""

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import httpx2
import pytest

from tests.web.test_start import printed_address

ROOT = Path(__file__).parent.parent


def run(*program: str | Path, cwd: Path, **environment: str) -> str:
    """What a program says; no path of the clone reaches it."""
    bare = {
        name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "PORTAL", "VIRTUAL_ENV"))
    }
    done = subprocess.run(program, cwd=cwd, env={**bare, **environment}, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture
def installed(tmp_path: Path) -> Path:
    """The Python of an environment that holds the locked packages and the wheel, and nothing of the clone."""
    wheels = tmp_path / "wheels"
    run(sys.executable, "-m", "pip", "wheel", ROOT, "--no-deps", "--quiet", "--wheel-dir", wheels, cwd=tmp_path)
    run(sys.executable, "-m", "venv", tmp_path / "venv", cwd=tmp_path)
    python = tmp_path / "venv" / "bin" / "python"
    pip = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    run(*pip, "--require-hashes", "--only-binary", ":all:", "-r", ROOT / "requirements.lock", cwd=tmp_path)
    run(*pip, "--no-deps", *wheels.glob("*.whl"), cwd=tmp_path)
    return python


@pytest.mark.soak
def test_the_wheel_works_outside_the_clone(installed: Path, tmp_path: Path) -> None:
    """In an environment of its own and another folder it migrates, answers, sends pages with their style, and makes a
    PDF.
    """
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    where = run(installed, "-c", "import portal; print(portal.__file__)", cwd=elsewhere)
    assert str(ROOT) not in where
    said = run(installed, "-m", "portal", "migrate", cwd=elsewhere, PORTAL_DATA="migrated")
    newest = max((ROOT / "migrations" / "versions").glob("*.py")).read_text("utf-8")
    assert re.search(r'^revision = "(\w+)"', newest, re.MULTILINE)[1] in said
    run(installed, "-m", "portal", "deploy-files", "deploy", cwd=elsewhere)
    assert (elsewhere / "deploy" / "portal.service").read_text("utf-8").startswith("# systemd unit")
    served = subprocess.Popen(
        [installed, "-m", "portal", "serve"],
        cwd=elsewhere,
        env={"PATH": os.environ["PATH"], "PORTAL_PORT": "0", "PORTAL_DATA": "served"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        look_around(served)
    finally:
        served.send_signal(signal.SIGTERM)
        served.communicate(timeout=60)


def look_around(served: subprocess.Popen[str]) -> None:
    """Come in by the demo's link, which is printed before the address, and take what the gig has to give."""
    assert served.stdout is not None
    link = next(word for line in served.stdout for word in line.split() if "/in/" in word)
    address = printed_address(served)
    with httpx2.Client(base_url=address, headers={"Origin": address}, timeout=60) as client:
        assert client.get("/ready").text == "ready\n"
        page = client.get("/sign-in").text
        for kind, start in (("text/css", ".css"), ("text/javascript", ".js")):
            file = client.get(re.search(rf'"(/static/[^"]*\{start}\?v=\w+)"', page)[1])
            assert (file.status_code, file.headers["content-type"].partition(";")[0]) == (200, kind)
        way_in = client.post(link.removeprefix(address))
        # The client would keep the Secure cookie from an address without https; a browser sends it to this machine.
        cookie = {"Cookie": way_in.headers["set-cookie"].partition(";")[0]}
        base = re.match(r"/house/[^/]+", way_in.headers["location"])[0]
        paper = client.get(f"{base}/papers/patch-sheet.pdf", headers=cookie)
        assert paper.content.startswith(b"%PDF-")
    print(f"\nwheel=ok page=200 css=200 script=200 pdf_bytes={len(paper.content)}")  # noqa: T201 - shown with -s
