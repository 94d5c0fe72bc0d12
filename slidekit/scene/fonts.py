"""The shipped letters and their widths, from the font files themselves.

Arimo has the advance widths of Arial, which the deck asks for, so a text measured here fits
there. All widths are in em: multiply by the type size.
"""

import io
import unicodedata
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal, TypeAlias

from slidekit.errors import FitError
from slidekit.scene.font_widths import read_advances_em

Face: TypeAlias = Literal["Regular", "Bold", "Italic", "BoldItalic"]

FONT_FILES: dict[Face, Path] = {
    "Regular": Path(__file__).parent / "fonts" / "Arimo-Regular.ttf",
    "Bold": Path(__file__).parent / "fonts" / "Arimo-Bold.ttf",
    "Italic": Path(__file__).parent / "fonts" / "Arimo-Italic.ttf",
    "BoldItalic": Path(__file__).parent / "fonts" / "Arimo-BoldItalic.ttf",
}

ASCENT_EM = 1854 / 2048  # hhea table of all four files
DESCENT_EM = 434 / 2048
CAP_HEIGHT_EM = 1409 / 2048  # OS/2 sCapHeight


def face_of(*, bold: bool, italic: bool) -> Face:
    """The face that draws letters of this look."""
    if bold:
        return "BoldItalic" if italic else "Bold"
    return "Italic" if italic else "Regular"


def advances_em(text: str, face: Face) -> tuple[float, ...]:
    """Advance width of each character, without kerning (the `hmtx` table), in em.

    Raises
    ------
    FitError
        If the font has no glyph for a character; line breaks and tabs have none.
    """
    table = _advance_table(face)
    try:
        return tuple(table[ord(letter)] for letter in text)
    except KeyError as missing:
        raise _missing_letter(chr(missing.args[0]), text) from None


def kerned_width_em(text: str, face: Face) -> float:
    """Width of a line of one face as a typesetting program draws it: with pair kerning, in em."""
    glyphs, pairs = _glyph_names(face), _kerning_table(face)
    names = [glyphs[ord(letter)] for letter in text]
    return sum(advances_em(text, face)) + sum(pairs.get(pair, 0.0) for pair in pairwise(names))


def _missing_letter(letter: str, text: str) -> FitError:
    around = text if len(text) <= 60 else f"{text[:57]}..."
    name = unicodedata.name(letter, "a control character").lower()
    return FitError(
        f"the letters have no glyph for {letter!r} (U+{ord(letter):04X}, {name}) in {around!r}",
        "Write it with other letters or leave it out",
    )


@lru_cache
def _font(face: Face) -> Any:  # tables are attributes that only the file knows
    from fontTools.ttLib import TTFont  # most builds draw no letters: see `font_widths`

    return TTFont(io.BytesIO(FONT_FILES[face].read_bytes()), lazy=True)


@lru_cache
def _glyph_names(face: Face) -> dict[int, str]:
    names: dict[int, str] = _font(face).getBestCmap()
    return names


@lru_cache
def _advance_table(face: Face) -> dict[int, float]:
    """Code point: advance in em."""
    return read_advances_em(FONT_FILES[face])


@lru_cache
def _kerning_table(face: Face) -> dict[tuple[str, str], float]:
    """Glyph pair: correction in em, from the `kern` feature of the GPOS table (format 1)."""
    font = _font(face)
    em = font["head"].unitsPerEm
    gpos = font["GPOS"].table
    lookups = {
        index
        for record in gpos.FeatureList.FeatureRecord
        if record.FeatureTag == "kern"
        for index in record.Feature.LookupListIndex
    }
    pairs: dict[tuple[str, str], float] = {}
    for index in sorted(lookups):
        for table in gpos.LookupList.Lookup[index].SubTable:
            for left, pair_set in zip(table.Coverage.glyphs, table.PairSet, strict=True):
                for record in pair_set.PairValueRecord:
                    correction = getattr(record.Value1, "XAdvance", 0)  # absent where 0
                    pairs[left, record.SecondGlyph] = correction / em
    return pairs
