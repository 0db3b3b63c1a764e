"""What the columns of a table hold: by headings in six languages, by what stands in them, or as somebody says."""

import pytest

from portal.exchange.band_list.columns import FIELDS, field_of, fields_of, is_head, is_output_head
from portal.exchange.band_list.pasted import read_cells, read_text
from portal.exchange.band_list.pasted_rows import Cell, Column
from portal.exchange.band_list.proposing import propose
from portal.exchange.band_list.words.list_words import HEAD_FIELDS

WANTED = ("number", "quantity", "label", "player", "way", "capture", "phantom", "stand", "note")
HEADINGS = {
    "English": ("Channel", "Qty", "Instrument", "Player", "Splitter way", "Mic / DI", "48 V", "Mic stand", "Remarks"),
    "German": (
        "Kanal",
        "Anzahl",
        "Bezeichnung",
        "Musiker",
        "Splitter-Weg",
        "Mikrofon / DI",
        "Phantomspeisung",
        "Stativ",
        "Bemerkungen",
    ),
    "French": (
        "Voie",
        "Quantité",
        "Libellé",
        "Musicien",
        "Voie du splitter",
        "Micro ou DI",
        "Alimentation fantôme",
        "Pied de micro",
        "Remarques",
    ),
    "Spanish": (
        "Nº canal",
        "Cantidad",
        "Fuente",
        "Músico",
        "Canal del splitter",
        "Micrófono / DI",
        "Alimentación phantom",
        "Soporte",
        "Observaciones",
    ),
    "Italian": (
        "Canale",
        "Quantità",
        "Sorgente",
        "Musicista",
        "Canale splitter",
        "Microfono o DI",
        "Alimentazione phantom",
        "Asta",
        "Osservazioni",
    ),
    "Dutch": (
        "Kanaal",
        "Aantal",
        "Bron",
        "Muzikant",
        "Splitter-kanaal",
        "Microfoon / DI",
        "Fantoomvoeding",
        "Statief",
        "Opmerkingen",
    ),
}
CELLS = ("3", "2", "Tom", "Rhian", "7", "dynamic", "no", "clip", "half open")


@pytest.mark.parametrize("language", HEADINGS)
def test_headings_are_known_in_six_languages(language: str) -> None:
    """Each heading names its field, and the cells below go there."""
    headings = HEADINGS[language]
    assert tuple(map(field_of, headings)) == WANTED
    (row,) = read_cells([headings, CELLS]).rows
    assert (row.number, row.label) == ("3", "Tom")
    assert {cell.field: cell.text for cell in row.rest} == {
        field: cell for field, cell in zip(WANTED, CELLS, strict=True) if field not in ("number", "label")
    }


def test_every_heading_fills_a_field_that_there_is() -> None:
    """The words of headings lead to fields of a row only."""
    assert set(HEAD_FIELDS.values()) <= set(FIELDS)
    assert {field for field in FIELDS if field} == set(HEAD_FIELDS.values())


def test_numbers_count_rows_or_things() -> None:
    """A column of numbers without a heading counts the rows where the numbers rise, and things where they do not; under
    *No* it may be either.
    """
    assert fields_of(None, [["1", "Kick"], ["2", "Snare"], ["5", "Vocal"]], 2) == ("number", "label")
    assert fields_of(None, [["2", "Vocal mic"], ["1", "Bass DI"], ["2", "Tom mic"]], 2) == ("quantity", "label")
    assert fields_of(None, [["Vocal mic", "3"], ["Bass DI", "1"], ["Tom mic", "3"]], 2) == ("label", "quantity")
    assert fields_of(["No", "Item"], [["2", "Vocal"], ["1", "Kick"], ["1", "Snare"]], 2) == ("quantity", "label")
    assert fields_of(["Ch", "Item"], [["9", "Vocal"], ["1", "Kick"], ["1", "Snare"]], 2) == ("number", "label")
    assert fields_of(None, [["3", "Vocal mic"]], 2) == ("quantity", "label")
    assert fields_of(["Position", "Source"], [["1", "Kick"], ["2", "Snare"]], 2) == ("number", "label")


def test_a_heading_of_two_fields_fills_none() -> None:
    """What stands under *Mic / Stand* is read by its words."""
    assert field_of("Mic / Stand") == ""
    row = propose(
        read_cells([("Instrument", "Mic / Stand"), ("Kick", "dynamic, short stand"), ("Snare", "condenser, clip")]).rows
    )[1].reading
    assert (row.capture, row.phantom, row.stand) == ("mic", "yes", "clip")


def test_labels_are_where_sources_are_named() -> None:
    """A wrong or missing heading does not hide the column in which the sources stand."""
    assert fields_of(["Name", "Instrument"], [["Bo", "Bass"], ["Cy", "Kick drum"], ["Di", "Vocal"]], 2) == (
        "player",
        "label",
    )
    assert fields_of(["Source", "Foo"], [["xlr", "Bass"], ["jack", "Kick drum"], ["xlr", "Vocal"]], 2)[1] == "label"


def test_a_table_of_outputs_is_set_aside() -> None:
    """Below the headings of mixes stand no inputs; headings of inputs begin anew."""
    assert is_output_head(["Mix", "For", "Type"])
    assert not is_output_head(["Ch", "Instrument", "Out"])
    read = read_text(
        "Ch\tInstrument\tMic\n1\tKick\tdyn\n2\tVocal\tdyn\nMix\tFor\tType\n1\tKick\twedge\nCh\tInstrument\tMic\n3\tBass\tDI\n"
    )
    assert [row.label for row in read.rows] == ["Kick", "Vocal", "Bass"]
    assert read.aside == ("1 | Kick | wedge",)


def test_a_row_is_no_heading() -> None:
    """Words that are headings elsewhere make no heading beside a source or a number."""
    assert not is_head(["1", "Kick", "mic"])
    assert not is_head(["Kick", "DI", "mic"])
    assert not is_head(["Note"])
    assert is_head(["Ch", "Instrument", "Whatever"])


def test_fields_can_be_given() -> None:
    """Whoever knows what the columns hold says so: the same cells, other fields; missing ones are read by their words,
    others are left out.
    """
    text = "1\tKick\tBo\tshort\n2\tHat\tIna\ttall\n"
    guessed = read_text(text).rows[0]
    assert guessed.of("player") == ""
    given = read_text(text, ("number", "label", "player", "stand")).rows[0]
    assert given.rest == (Cell("player", "Bo"), Cell("stand", "short"))
    fewer = read_cells([("1", "Kick", "Bo", "short")], ("number", "label", "other")).rows[0]
    assert fewer.rest == (Cell("other", "Bo"), Cell("", "short"))


def test_the_columns_are_told() -> None:
    """Each column in its order, with its heading, its first cell and the field that it was read as; a heading is not
    needed, and a list of one column has none to tell.
    """
    read = read_text("Ch;Source;Patch;Zorbl\n1;Kick;;x\n2;Snare;A2;y\n")
    assert read.columns == (
        Column("Ch", "1", "number"),
        Column("Source", "Kick", "label"),
        Column("Patch", "A2", "other"),
        Column("Zorbl", "x", ""),
    )
    bare = read_text("1\tKick\tBo\n2\tHat\tIna\n")
    assert bare.columns == (Column("", "1", "number"), Column("", "Kick", "label"), Column("", "Bo", ""))
    assert read_text("1\tKick\tBo\n2\tHat\tIna\n", ("number", "label", "player")).columns[2].field == "player"
    assert read_text("Kick\nSnare\n").columns == ()
