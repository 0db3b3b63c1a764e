"""Numbers in words, by language. The forms of one are articles as well."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Numbers:
    """``small``: one and upwards, forms of one number parted by a stroke; ``tens``: twenty and upwards, "-" where they
    are made otherwise.

    ``composed`` joins tens and units; ``irregular`` are numbers that it does not make.
    """

    small: str
    tens: str
    hundred: str
    composed: str
    irregular: dict[int, str]


ENGLISH = Numbers(
    small=(
        "one, two, three, four, five, six, seven, eight, nine,"
        " ten, eleven, twelve, thirteen, fourteen, fifteen, sixteen, seventeen, eighteen, nineteen"
    ),
    tens="twenty, thirty, forty, fifty, sixty, seventy, eighty, ninety",
    hundred="hundred, a hundred, one hundred",
    composed="{ten} {unit}",
    irregular={},
)

GERMAN = Numbers(
    small=(
        "ein|eine|einen|einem|einer|eins, zwei|zwo, drei, vier, fünf, sechs, sieben, acht, neun, zehn, elf, zwölf,"
        " dreizehn, vierzehn, fünfzehn, sechzehn, siebzehn, achtzehn, neunzehn"
    ),
    tens="zwanzig, dreißig, vierzig, fünfzig, sechzig, siebzig, achtzig, neunzig",
    hundred="hundert, einhundert",
    composed="{unit}und{ten}",
    irregular={},
)

FRENCH = Numbers(
    small=(
        "un|une, deux, trois, quatre, cinq, six, sept, huit, neuf, dix, onze, douze, treize, quatorze, quinze, seize,"
        " dix sept, dix huit, dix neuf"
    ),
    tens="vingt, trente, quarante, cinquante, soixante, -, quatre vingt, -",
    hundred="cent",
    composed="{ten} {unit}",
    irregular={},
)

SPANISH = Numbers(
    small=(
        "un|uno|una, dos, tres, cuatro, cinco, seis, siete, ocho, nueve,"
        " diez, once, doce, trece, catorce, quince, dieciséis, diecisiete, dieciocho, diecinueve"
    ),
    tens="veinte, treinta, cuarenta, cincuenta, sesenta, setenta, ochenta, noventa",
    hundred="cien",
    composed="{ten} y {unit}",
    irregular={
        21: "veintiuno",
        22: "veintidós",
        23: "veintitrés",
        24: "veinticuatro",
        25: "veinticinco",
        26: "veintiséis",
        27: "veintisiete",
        28: "veintiocho",
        29: "veintinueve",
    },
)

ITALIAN = Numbers(
    small=(
        "un|uno|una, due, tre, quattro, cinque, sei, sette, otto, nove,"
        " dieci, undici, dodici, tredici, quattordici, quindici, sedici, diciassette, diciotto, diciannove"
    ),
    tens="venti, trenta, quaranta, cinquanta, sessanta, settanta, ottanta, novanta",
    hundred="cento",
    composed="{ten}{unit}",
    irregular={},
)

DUTCH = Numbers(
    small=(
        "één|een|ene, twee, drie, vier, vijf, zes, zeven, acht, negen,"
        " tien, elf, twaalf, dertien, veertien, vijftien, zestien, zeventien, achttien, negentien"
    ),
    tens="twintig, dertig, veertig, vijftig, zestig, zeventig, tachtig, negentig",
    hundred="honderd",
    composed="{unit}en{ten}",
    irregular={22: "tweeëntwintig", 23: "drieëntwintig", 32: "tweeëndertig", 42: "tweeënveertig", 63: "drieënzestig"},
)
