"""Where the files stand that are not code: beside the package in a clone, inside it once installed (``pyproject.toml``
puts them there).
"""

from pathlib import Path

_PACKAGE = Path(__file__).parent
_ROOT = _PACKAGE if (_PACKAGE / "templates").is_dir() else _PACKAGE.parent

TEMPLATES = _ROOT / "templates"
STATIC = _ROOT / "static"
MIGRATIONS = _ROOT / "migrations"
DEPLOY = _PACKAGE / "deploy"
"""The service's unit, an example of a proxy, and the page on running it all."""
