"""The invented example rig, as a band would write it: to start from, and for the demo."""

from importlib.resources import files

from portal.exchange.files import document_to_rig, read_document
from portal.plan.input.rig import Rig


def example_rig() -> Rig:
    """A band of five with an electric rig of twenty sources, a carried splitter, two looms and an acoustic
    configuration. All of it is invented.
    """
    content = files("portal.exchange").joinpath("example_rig.toml").read_bytes()
    return document_to_rig(read_document(content, ".toml"))
