"""The README's pictures can be taken again."""

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.pictures import FOLDER, ROOT, photograph

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_the_pictures_of_the_readme_are_those_that_are_taken(tmp_path: Path) -> None:
    """Every picture that is taken from the demo is shown in the README and kept, and it shows no other."""
    with ThreadPoolExecutor(1) as other:  # Another test's browser may run in this thread.
        taken = other.submit(photograph, tmp_path).result()
    shown = re.findall(r"\.pictures/[\w.]+", (ROOT / "README.md").read_text("utf-8"))

    assert sorted(shown) == [f"{FOLDER.name}/{picture.name}" for picture in taken]
    assert sorted(path.name for path in FOLDER.iterdir()) == [picture.name for picture in taken]
    assert all(picture.read_bytes().startswith(b"\x89PNG") for picture in taken)
