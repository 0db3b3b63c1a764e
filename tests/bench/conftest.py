"""The portal that the figures are taken of: the same fixtures as the web tests'."""

from tests.web.conftest import app, clock, enter, migrated, portal, settings

__all__ = ["app", "clock", "enter", "migrated", "portal", "settings"]
