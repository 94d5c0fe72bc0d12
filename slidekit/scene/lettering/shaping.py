"""Letters of fonts that a style names: which a font has, how wide they are, how they join.

The letters of most scripts stand side by side; those of others (Arabic, Devanagari) take the form
that their neighbours ask for, and only a shaper knows how wide they then are. HarfBuzz is loaded
for a style that names fonts: nothing else needs it.
"""

import re
from functools import lru_cache
from typing import Any

from slidekit.errors import StyleError
from slidekit.scene.lettering.files import FontFile

# Arabic to Thaana and N'Ko, the Indic scripts to Myanmar, Khmer and Mongolian: Unicode 15, blocks
_JOINING = re.compile("[\u0600-\u07ff\u0840-\u08ff\u0900-\u109f\u1780-\u18af\u1b00-\u1c4f]")
_TALL_AND_DEEP = "ÄÉÅfgjpqy(|永あ、לקש\u0623\u0625\u062c\u0639\u0643\u064a"
_WORDS = re.compile(r" +|[^ ]+")


class ShapedFont:
    """A font as HarfBuzz reads it; all lengths in em."""

    def __init__(self, file: FontFile) -> None:
        hb = _harfbuzz()
        face = hb.Face(hb.Blob.from_file_path(str(file.path)), file.number)
        self._font = hb.Font(face)
        self._em: int = face.upem
        self.ink_em: float = self._ink_em()
        capitals: int = self._font.get_metric_position(hb.OTMetricsTag.CAP_HEIGHT)
        self.cap_height_em: float = capitals / self._em

    def _ink_em(self) -> float:
        """From the top of its highest to the foot of its lowest usual letter."""
        known = [glyph for x in _TALL_AND_DEEP if (glyph := self._font.get_nominal_glyph(ord(x)))]
        extents = [self._font.get_glyph_extents(glyph) for glyph in known]
        top: int = max((one.y_bearing for one in extents), default=self._em)
        foot: int = min((one.y_bearing + one.height for one in extents), default=0)
        return (top - foot) / self._em

    def has(self, letter: str) -> bool:
        """Whether it has a glyph for the letter."""
        return bool(self._font.get_nominal_glyph(ord(letter)))

    def advances_em(self, text: str) -> tuple[float, ...]:
        """Advance of each letter: without kerning where letters stand side by side, and of the
        joined forms where they join; a ligature has it at its first letter."""
        if joins(text):
            words = (self._shaped(word) for word in _WORDS.findall(text))
            return tuple(advance for word in words for advance in word)
        return tuple(self._advance(letter) for letter in text)

    def drawn_width_em(self, text: str) -> float:
        """Width as a typesetting program draws it, kerned and joined."""
        return sum(self._shaped(text))

    def _advance(self, letter: str) -> float:
        glyph = self._font.get_nominal_glyph(ord(letter))
        return float(self._font.get_glyph_h_advance(glyph)) / self._em if glyph else 0.0

    def _shaped(self, text: str) -> tuple[float, ...]:
        hb = _harfbuzz()
        buffer = hb.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        hb.shape(self._font, buffer)
        advances = [0.0] * len(text)
        for glyph, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
            advances[glyph.cluster] += position.x_advance / self._em
        return tuple(advances)


@lru_cache
def shaped_font(file: FontFile) -> ShapedFont:
    """The font of a file, read once."""
    return ShapedFont(file)


def joins(text: str) -> bool:
    """Whether letters of the text take their form from their neighbours."""
    return _JOINING.search(text) is not None


def words_and_gaps(text: str) -> list[str]:
    """The words and the spaces between them."""
    return _WORDS.findall(text)


def _harfbuzz() -> Any:  # a module without types of its own
    try:
        import uharfbuzz
    except ImportError:
        raise StyleError(
            "a style that names fonts needs the library uharfbuzz, which is not installed",
            "Install it with: pip install 'slidekit[languages]'",
        ) from None
    return uharfbuzz
