"""The rules, one file a topic. Importing this package enters them all."""

from portal.plan.rules import cables, ladder, mixing, own_mixer, people, phantom, routes

__all__ = ["cables", "ladder", "mixing", "own_mixer", "people", "phantom", "routes"]
