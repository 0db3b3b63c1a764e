"""The page of the file format, with the list of keys of today: ``python -m tests.exchange.key_list`` writes it anew."""

from __future__ import annotations

from pathlib import Path

from portal.exchange.key_list import key_list

FORMAT = Path(__file__).parents[2] / "portal" / "exchange" / "FORMAT.md"
BEGIN, END = "<!-- keys -->", "<!-- /keys -->"


def renewed(text: str) -> str:
    """The text with the list of today between its marks. Raises ``ValueError`` where it has not one of each mark."""
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    if text.count(BEGIN) != 1 or rest.count(END) != 1:
        raise ValueError(f"{BEGIN} and {END} have to stand there once each")
    return f"{before}{BEGIN}\n{key_list()}{END}{after}"


if __name__ == "__main__":
    FORMAT.write_text(renewed(FORMAT.read_text("utf-8")), "utf-8")
