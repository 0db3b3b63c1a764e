"""What a killed run left behind is cleared away, and nobody else's process is ended for it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests import postgresql


@pytest.mark.parametrize(
    "named",
    [f"{os.getpid()}\n", "4194305\n", "", "not a number\n"],
    ids=["somebody's", "nobody's", "empty", "no number"],
)
def test_a_server_that_is_gone_only_leaves_a_folder(tmp_path: Path, named: str) -> None:
    folder = tmp_path / "server"
    (folder / "data").mkdir(parents=True)
    (folder / "data" / "postmaster.pid").write_text(named)
    postgresql.clear(folder)
    assert not folder.exists()


def test_the_end_comes_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(postgresql.FOLDER)
    postgresql.end()
