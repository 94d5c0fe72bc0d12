"""The letters of this run and their widths, from the font files themselves.

Arimo has the advance widths of Arial, which the deck asks for, so a text measured here fits
there. A style may name families that are asked before it, letter by letter, set once by
`letter_with` when the style has been read: letters are measured in every corner of a page, and
handing the fonts to each would hide what is laid out. All widths are in em: multiply by the type
size.
"""

import hashlib
import io
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any, TypeVar

from slidekit.errors import FitError
from slidekit.scene.font_widths import read_advances_em
from slidekit.scene.lettering.files import Face, Family, FontFile
from slidekit.scene.lettering.shaping import shaped_font

FONT_FILES: dict[Face, Path] = {
    "Regular": Path(__file__).parent / "fonts" / "Arimo-Regular.ttf",
    "Bold": Path(__file__).parent / "fonts" / "Arimo-Bold.ttf",
    "Italic": Path(__file__).parent / "fonts" / "Arimo-Italic.ttf",
    "BoldItalic": Path(__file__).parent / "fonts" / "Arimo-BoldItalic.ttf",
}

ARIMO = Family("Arial", *(FontFile(path) for path in FONT_FILES.values()))
"""The shipped letters, under the name that a deck asks for."""

ARIAL_PITCH_EM = 1.20
INK_GAP_EM = 0.15
_JOINERS = frozenset("\u200b\u200c\u200d\u200e\u200f\u2060\ufe0e\ufe0f")
"""Signs that tell how letters join, break or are ordered, and are not drawn themselves."""

ASCENT_EM = 1854 / 2048  # hhea table of all four files
DESCENT_EM = 434 / 2048
CAP_HEIGHT_EM = 1409 / 2048  # OS/2 sCapHeight


def face_of(*, bold: bool, italic: bool) -> Face:
    """The face that draws letters of this look."""
    if bold:
        return "BoldItalic" if italic else "Bold"
    return "Italic" if italic else "Regular"


@dataclass
class _Now:
    """The families of this run, and what depends on them."""

    families: tuple[Family, ...] = ()
    forget: list[Callable[[], None]] = field(default_factory=list)


_now = _Now()
_Made = TypeVar("_Made", bound=Callable[..., object])


def letter_with(families: tuple[Family, ...]) -> None:
    """From now on letters are those of these families, where they have them; else of Arimo."""
    if families != _now.families:
        for forget in _now.forget:
            forget()
    _now.families = families


def families_now() -> tuple[Family, ...]:
    """All families that letters are looked for in, in this order."""
    return (*_now.families, ARIMO)


def named_families() -> tuple[Family, ...]:
    """Those of them that the style names."""
    return _now.families


def kept_with_fonts(maxsize: int) -> Callable[[_Made], _Made]:
    """`lru_cache` for what was measured: forgotten when the fonts change."""

    def keep(made: _Made) -> _Made:
        kept = lru_cache(maxsize)(made)
        _now.forget.append(kept.cache_clear)
        return kept  # type: ignore[return-value]  # called like what it keeps

    return keep


def fonts_key() -> tuple[tuple[str, ...], ...]:
    """What drawings with the style's fonts depend on: names, and digests of the files."""
    return tuple(
        (family.name, *(f"{_digest(font.path)} {font.number}" for font in family.files))
        for family in _now.families
    )


@dataclass(frozen=True)
class Stretch:
    """Letters of one run that one family has."""

    text: str
    family: Family


def stretches(text: str) -> Iterator[Stretch]:
    """The text in pieces of one family each, letters with the accents set over them.

    Raises
    ------
    FitError
        If no family has a letter.
    """
    if not _now.families:
        yield Stretch(text, ARIMO)
        return
    clusters = _clusters(text)
    lacking = [letter for one in clusters if _family_of(one) is None for letter in one]
    if lacking:
        raise _missing_letters(lacking, text)
    for family, members in groupby(clusters, _family_of):
        if family:
            yield Stretch("".join(members), family)


def family_for(letters: str) -> Family:
    """The first family that has one of the letters; Arimo's name if none has."""
    return next((one for one in families_now() if any(_has(one, x) for x in letters)), ARIMO)


def _clusters(text: str) -> list[str]:
    clusters: list[str] = []
    for letter in text:
        if clusters and (unicodedata.category(letter) in {"Mn", "Me"} or letter in _JOINERS):
            clusters[-1] += letter
        else:
            clusters.append(letter)
    return clusters


def _family_of(cluster: str) -> Family | None:
    return next((one for one in families_now() if all(_has(one, x) for x in cluster)), None)


def _has(family: Family, letter: str) -> bool:
    if family is ARIMO:
        return ord(letter) in _advance_table("Regular") or letter in _JOINERS
    return letter in _JOINERS or shaped_font(family.regular).has(letter)


def advances_em(text: str, face: Face) -> tuple[float, ...]:
    """Advance width of each character, without kerning (the `hmtx` table), in em.

    Raises
    ------
    FitError
        If no font has a glyph for a character; line breaks and tabs have none.
    """
    if not _now.families:
        return _arimo_advances_em(text, face)
    return tuple(
        advance
        for stretch in stretches(text)
        for advance in (
            _arimo_advances_em(stretch.text, face)
            if stretch.family is ARIMO
            else shaped_font(stretch.family.file(face)).advances_em(stretch.text)
        )
    )


def _arimo_advances_em(text: str, face: Face) -> tuple[float, ...]:
    table = _advance_table(face)
    try:
        return tuple(table[ord(letter)] for letter in text)
    except KeyError:
        lacking = [letter for letter in text if ord(letter) not in table]
        raise _missing_letters(lacking, text) from None


def kerned_width_em(text: str, face: Face, family: Family | None = None) -> float:
    """Width of a line of one face as a typesetting program draws it: with pair kerning, in em.
    `family` has all its letters."""
    if family is not None and family is not ARIMO:
        return shaped_font(family.file(face)).drawn_width_em(text)
    glyphs, pairs = _glyph_names(face), _kerning_table(face)
    advances = sum(_arimo_advances_em(text, face))
    names = [glyphs[ord(letter)] for letter in text]
    return advances + sum(pairs.get(pair, 0.0) for pair in pairwise(names))


def line_pitch_em() -> float:
    """Between baselines: 4 % above the natural 1.15 of Arial, which decks are drawn with. With
    named families, as much as keeps their letters apart, which decks then state: what fonts for
    many scripts ask for themselves is up to twice the type size."""
    inks = (shaped_font(font).ink_em for one in _now.families for font in one.files)
    return max([ARIAL_PITCH_EM, *(ink + INK_GAP_EM for ink in inks)])


def first_baseline_em() -> float:
    """From the top of a line to its baseline: the reserve of the pitch shared above and below;
    with named families, capitals stand halfway."""
    if not _now.families:
        return (ARIAL_PITCH_EM - ASCENT_EM - DESCENT_EM) / 2 + ASCENT_EM
    return (line_pitch_em() + cap_height_em()) / 2


def cap_height_em() -> float:
    """Height of capitals of the first family."""
    if not _now.families:
        return CAP_HEIGHT_EM
    return shaped_font(_now.families[0].regular).cap_height_em


def _missing_letters(lacking: list[str], text: str) -> FitError:
    around = text if len(text) <= 60 else f"{text[:57]}..."
    letters = list(dict.fromkeys(lacking))
    first, rest = letters[0], len(letters) - 1
    name = unicodedata.name(first, "a control character").lower()
    others = f", nor for {' '.join(letters[1:13])}" if rest else ""
    fonts = "no font of the style has a glyph" if _now.families else "the letters have no glyph"
    return FitError(
        f"{fonts} for {first!r} (U+{ord(first):04X}, {name}){others} in {around!r}",
        "Write it with other letters or leave it out, or name a font that has them in the style:"
        ' `fonts: {family: "Its Name", regular: FILE.ttf, bold: FILE.ttf}`',
    )


@lru_cache
def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


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
