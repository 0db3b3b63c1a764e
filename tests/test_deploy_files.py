"""The files that whoever runs the portal starts from come out of the package."""

import subprocess
import sys
from pathlib import Path

from portal.places import DEPLOY


def deploy_files(folder: Path) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, "-m", "portal", "deploy-files", folder], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout


def test_they_are_written_as_they_are(tmp_path: Path) -> None:
    """Unit, proxy example and page land in a new folder, byte for byte, and each is named."""
    folder = tmp_path / "new" / "deploy"
    code, said = deploy_files(folder)
    assert code == 0
    written = {file.name: file.read_bytes() for file in folder.iterdir()}
    assert written.keys() == {"README.md", "nginx.conf", "portal.service", "processes.conf"}
    assert written == {file.name: file.read_bytes() for file in DEPLOY.iterdir()}
    assert said == "".join(f"{folder / name} is written.\n" for name in sorted(written))


def test_nothing_is_written_over(tmp_path: Path) -> None:
    """One file that is there already keeps all three from being written."""
    own = tmp_path / "portal.service"
    own.write_text("changed by hand")
    code, said = deploy_files(tmp_path)
    assert code == 1
    assert f"{own}: there already. Nothing was written" in said
    assert [file.name for file in tmp_path.iterdir()] == ["portal.service"]
    assert own.read_text() == "changed by hand"
