"""Text measured before it is placed: line breaks, heights, and the largest size that fits.

The height of a text is a safe upper bound, so that programs with other rules for breaking lines
stay inside the box too: widths without kerning and 2 % wider, the worse of two rules for breaks,
and a line pitch of 1.20 where the font asks for 1.15.
"""

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from math import ceil, floor
from typing import Literal

from slidekit.errors import FitError
from slidekit.scene.fonts import advances_em, face_of, kept_with_fonts, line_pitch_em
from slidekit.scene.lettering.breaks import Span, breaks_anywhere, unbroken, unbroken_pieces
from slidekit.scene.model import Box, Paragraph, Role, Run, Text
from slidekit.scene.style import Size
from slidekit.scene.type_units import MM_PER_PT

BULLET_INDENT_EM = 0.9
"""Where the words of a bulleted paragraph begin, all its lines alike, from the left edge."""

BULLET = "•"

_WIDENED = 1.02  # reserve for rounding and hinting of other programs
_FORCED_FILL = 0.90  # how full a line of a forcibly broken word is taken to be
_CLOSE_ENOUGH_MM = 1e-6

_LETTER = r"[^\W\u3005-\u30ff\u3400-\u9fff\uf900-\ufaff]"  # but of no script without spaces
_EMPHASIS = re.compile(
    rf"(?<![*])(?<!{_LETTER})"
    r"(?:\*\*(?P<bold>[^\s*](?:[^*]*[^\s*])?)\*\*|\*(?P<italic>[^\s*](?:[^*]*[^\s*])?)\*)"
    rf"(?![*])(?!{_LETTER})"
)


@dataclass(frozen=True)
class TextLook:
    """How a text stands in its box, apart from its words and their size."""

    color: str
    role: Role
    align: Literal["left", "center", "right"] = "left"
    anchor: Literal["top", "middle", "bottom"] = "top"
    inset_mm: tuple[float, float] = (0.0, 0.0)  # at left and right, at top and bottom
    fill: str | None = None
    corner_mm: float = 0.0
    name: str = ""


def paragraphs_of(
    text: str | Iterable[str], *, bullet: bool = False, bold: bool = False
) -> tuple[Paragraph, ...]:
    """Plain text as paragraphs, one for each line or each text given; empty ones are left out.

    `*word*` is set in italic and `**word**` in bold, when the asterisks hug the words and stand
    at their outer ends; any other asterisk is an asterisk. Several spaces become one.
    """
    texts = [text] if isinstance(text, str) else text
    lines = (line for one in texts for line in one.splitlines())
    clean = (re.sub(r"[ \t]+", " ", unicodedata.normalize("NFC", line)).strip() for line in lines)
    return tuple(Paragraph(tuple(_emphasized(line, bold)), bullet) for line in clean if line)


def sentences(*parts: str) -> str:
    """Parts one after the other, each with its full stop; empty ones are left out."""
    return " ".join(
        part if part.endswith((".", "!", "?")) else f"{part}." for part in parts if part
    )


def as_written(text: str, *, bold: bool = False) -> tuple[Paragraph, ...]:
    """One paragraph with every asterisk an asterisk; none for no words."""
    return (Paragraph((Run(text, bold=bold),)),) if text else ()


def _emphasized(line: str, bold: bool) -> Iterator[Run]:
    done = 0
    for found in _EMPHASIS.finditer(line):
        if found.start() > done:
            yield Run(line[done : found.start()], bold)
        strong, slanted = found["bold"], found["italic"]
        yield Run(strong or slanted, bold=bold or bool(strong), italic=bool(slanted))
        done = found.end()
    if done < len(line):
        yield Run(line[done:], bold)


def bullet_indent_mm(size_pt: float) -> float:
    """Hanging indent of a bulleted paragraph; the bullet itself stands at the left edge."""
    return BULLET_INDENT_EM * size_pt * MM_PER_PT


def line_width_mm(text: str, size_pt: float, *, bold: bool = False, italic: bool = False) -> float:
    """Width of one line of one look, without kerning: never less than what is drawn."""
    return sum(advances_em(text, face_of(bold=bold, italic=italic))) * size_pt * MM_PER_PT


def wrap_lines(
    paragraph: Paragraph, width_mm: float, size_pt: float
) -> tuple[tuple[Run, ...], ...]:
    """The lines of a paragraph as this project's own writers draw them, at least one.

    Lines end at spaces (which are dropped there), and after a dash or slash between letters. A
    word wider than the line is broken where it must; a single letter may still be too wide. A
    bulleted paragraph has `bullet_indent_mm` less room.
    """
    spans = line_spans(paragraph, width_mm, size_pt)
    return tuple(cut_runs(paragraph.runs, span) for span in spans) or ((),)


def line_spans(paragraph: Paragraph, width_mm: float, size_pt: float) -> list[Span]:
    """The same lines as places in the paragraph's letters; none for an empty paragraph."""
    ruler = _ruler(paragraph)
    em_width = _words_width_mm(paragraph, width_mm, size_pt) / (size_pt * MM_PER_PT)
    return _broken(ruler, em_width, unbroken_pieces(ruler.text, at_dashes=True))


def cut_runs(runs: Sequence[Run], span: Span) -> tuple[Run, ...]:
    """The letters from `span[0]` up to `span[1]`, in their looks."""
    cut, at = [], 0
    for run in runs:
        start, end = max(span[0] - at, 0), min(span[1] - at, len(run.text))
        if start < end:
            cut.append(replace(run, text=run.text[start:end]))
        at += len(run.text)
    return tuple(cut)


def text_height_mm(paragraphs: Sequence[Paragraph], width_mm: float, size_pt: float) -> float:
    """Height that the paragraphs need at most, in this project's writers and in a deck."""
    lines = sum(_most_lines(paragraph, width_mm, size_pt) for paragraph in paragraphs)
    gaps_pt = sum(paragraph.space_before_pt for paragraph in paragraphs)
    return (lines * line_pitch_em() * size_pt + gaps_pt) * MM_PER_PT


def drawn_height_mm(paragraphs: Sequence[Paragraph], width_mm: float, size_pt: float) -> float:
    """Height of the lines of `wrap_lines`, with no reserve: for pages that only this project's
    own writers draw."""
    lines = sum(max(len(line_spans(paragraph, width_mm, size_pt)), 1) for paragraph in paragraphs)
    gaps_pt = sum(paragraph.space_before_pt for paragraph in paragraphs)
    return (lines * line_pitch_em() * size_pt + gaps_pt) * MM_PER_PT


def spaced(paragraphs: Iterable[Paragraph], gap_pt: float) -> tuple[Paragraph, ...]:
    """The same with air before every paragraph but the first."""
    return tuple(
        replace(paragraph, space_before_pt=gap_pt if at else 0.0)
        for at, paragraph in enumerate(paragraphs)
    )


def text_fits(
    paragraphs: Sequence[Paragraph], width_mm: float, height_mm: float, size_pt: float
) -> bool:
    """Whether the text stays within width and height at this size, no word broken."""
    needed_mm = text_height_mm(paragraphs, width_mm, size_pt)
    return needed_mm <= height_mm + _CLOSE_ENOUGH_MM and words_whole(paragraphs, width_mm, size_pt)


def words_whole(paragraphs: Sequence[Paragraph], width_mm: float, size_pt: float) -> bool:
    """Whether no word has to be broken in this width, by any program."""
    return all(
        _widest_piece(paragraph, size_pt)[1] <= _words_width_mm(paragraph, width_mm, size_pt)
        for paragraph in paragraphs
    )


def fit_size_pt(
    paragraphs: Sequence[Paragraph], width_mm: float, height_mm: float, size: Size, what: str
) -> float:
    """The largest type size of a role at which the paragraphs fit: whole points from `size.pt`
    down, `size.least_pt` last. No word is broken to make it fit.

    Raises
    ------
    FitError
        If the text does not fit at the smallest size; says by how much, in mm and in words.
        `what` names the text, as in "the caption of slide fill".
    """
    for size_pt in sizes_of(size):
        if text_fits(paragraphs, width_mm, height_mm, size_pt):
            return size_pt
    raise misfit(paragraphs, (width_mm, height_mm), size.least_pt, what)


def place_text(
    box: Box, paragraphs: Sequence[Paragraph], size: Size, look: TextLook, what: str
) -> Text:
    """The text in its box, at the largest size that fits; see `fit_size_pt`."""
    room = box.inset(*look.inset_mm)
    size_pt = fit_size_pt(paragraphs, room.width_mm, room.height_mm, size, what)
    return Text(
        box=box,
        paragraphs=tuple(paragraphs),
        size_pt=size_pt,
        color=look.color,
        role=look.role,
        align=look.align,
        anchor=look.anchor,
        inset_mm=look.inset_mm,
        fill=look.fill,
        corner_mm=look.corner_mm,
        name=look.name,
    )


def sizes_of(size: Size) -> Iterator[float]:
    """The type sizes to try, from the largest down: whole points between the two of the role."""
    yield size.pt
    below = floor(size.pt) if floor(size.pt) < size.pt else floor(size.pt) - 1
    yield from (float(pt) for pt in range(below, ceil(size.least_pt) - 1, -1))
    if size.least_pt < size.pt and floor(size.least_pt) != size.least_pt:
        yield size.least_pt


@dataclass(frozen=True)
class _Ruler:
    """A paragraph's letters, and how far each stands from the first, in em."""

    text: str
    at_em: tuple[float, ...]  # one more than there are letters

    def width_em(self, span: Span) -> float:
        return self.at_em[span[1]] - self.at_em[span[0]]


@kept_with_fonts(4096)
def _ruler(paragraph: Paragraph) -> _Ruler:
    advances = (
        advance
        for run in paragraph.runs
        for advance in advances_em(run.text, face_of(bold=run.bold, italic=run.italic))
    )
    return _Ruler(unbroken(paragraph.plain), tuple(accumulate(advances, initial=0.0)))


def _words_width_mm(paragraph: Paragraph, width_mm: float, size_pt: float) -> float:
    return width_mm - (bullet_indent_mm(size_pt) if paragraph.bullet else 0.0)


def _broken(ruler: _Ruler, width_em: float, pieces: Sequence[Span]) -> list[Span]:
    """Greedy lines; a piece wider than the line begins a line of its own and is cut to fit."""
    lines: list[Span] = []
    for start, end in pieces:
        if lines and ruler.width_em((lines[-1][0], end)) <= width_em:
            lines[-1] = (lines[-1][0], end)
            continue
        rest = start
        while ruler.width_em((rest, end)) > width_em:
            cut = _last_fitting(ruler, rest, end, width_em)
            if cut == end:
                break
            lines.append((rest, cut))
            rest = cut
        lines.append((rest, end))
    return lines


def _last_fitting(ruler: _Ruler, start: int, end: int, width_em: float) -> int:
    """Where to cut so that at least one letter, with the accents set over it, stays whole."""
    cut = max(bisect_right(ruler.at_em, ruler.at_em[start] + width_em) - 1, start + 1)
    while start + 1 < cut < end and unicodedata.combining(ruler.text[cut]):
        cut -= 1
    while cut < end and unicodedata.combining(ruler.text[cut]):
        cut += 1
    return cut


def _most_lines(paragraph: Paragraph, width_mm: float, size_pt: float) -> int:
    ruler = _ruler(paragraph)
    em_width = _words_width_mm(paragraph, width_mm, size_pt) / (size_pt * MM_PER_PT)
    if ruler.at_em[-1] * _WIDENED <= em_width:
        return 1
    whole, divided = (
        unbroken_pieces(ruler.text, at_dashes=False),
        unbroken_pieces(ruler.text, at_dashes=True),
    )
    return max(
        1,
        _lines_at_most(ruler, em_width, whole),
        _lines_at_most(ruler, em_width, divided),
        len(_broken(ruler, em_width, divided)),
    )


def _lines_at_most(ruler: _Ruler, width_em: float, pieces: Sequence[Span]) -> int:
    """Lines that another program may need for the same breaks."""
    lines, filled, before = 0, 0.0, 0
    for start, end in pieces:
        word = ruler.width_em((start, end)) * _WIDENED
        grown = filled + ruler.width_em((before, start)) * _WIDENED + word
        before = end
        if lines and grown <= width_em:
            filled = grown
        elif word <= width_em:
            lines, filled = lines + 1, word
        else:
            per_line = max(width_em * _FORCED_FILL, _CLOSE_ENOUGH_MM)
            forced = min(ceil(word / per_line), end - start)
            lines, filled = lines + forced, max(word - (forced - 1) * per_line, 0.0)
    return lines


def _widest_piece(paragraph: Paragraph, size_pt: float) -> tuple[str, float]:
    """The widest stretch that programs agree not to divide (a word), and its width in mm."""
    ruler = _ruler(paragraph)
    spans = unbroken_pieces(ruler.text, at_dashes=False)
    start, end = max(spans, key=ruler.width_em, default=(0, 0))
    return ruler.text[start:end], ruler.width_em((start, end)) * size_pt * MM_PER_PT * _WIDENED


def misfit(
    paragraphs: Sequence[Paragraph], room_mm: tuple[float, float], size_pt: float, what: str
) -> FitError:
    """The error for a text that does not fit into a width and a height at its least size."""
    width_mm, height_mm = room_mm
    at_size = f"at {size_pt:g} pt, the least size that the style allows"
    for paragraph in paragraphs:
        word, word_mm = _widest_piece(paragraph, size_pt)
        over_mm = word_mm - _words_width_mm(paragraph, width_mm, size_pt)
        if over_mm > 0:
            return FitError(
                f"{what}: the word {word!r} is {ceil(over_mm)} mm wider than its place {at_size}",
                "Use a shorter word, or divide it by a space",
            )
    over_mm = text_height_mm(paragraphs, width_mm, size_pt) - height_mm
    words = sum(len(_word_ends(paragraph)) for paragraph in paragraphs)
    kept = _words_that_fit(paragraphs, room_mm, size_pt)
    surplus = words - kept
    unit = "character" if any(breaks_anywhere(one.plain) for one in paragraphs) else "word"
    return FitError(
        f"{what} needs {ceil(over_mm)} mm more height {at_size}",
        f"Shorten it by about {surplus} {unit if surplus == 1 else f'{unit}s'} of its {words}"
        if kept
        else "There is no room for a single line of it: leave it out, or make its place larger",
    )


def _words_that_fit(
    paragraphs: Sequence[Paragraph], room_mm: tuple[float, float], size_pt: float
) -> int:
    """How many words from the beginning fit; found by halving, since fewer never need more."""
    fits, too_many = 0, sum(len(_word_ends(paragraph)) for paragraph in paragraphs)
    while too_many - fits > 1:
        tried = (fits + too_many) // 2
        shortened = _first_words(paragraphs, tried)
        if text_height_mm(shortened, room_mm[0], size_pt) <= room_mm[1] + _CLOSE_ENOUGH_MM:
            fits = tried
        else:
            too_many = tried
    return fits


def _word_ends(paragraph: Paragraph) -> list[int]:
    """Where each word ends; each letter, where a line may end after most of them."""
    unit = r"\S" if breaks_anywhere(paragraph.plain) else r"\S+"
    return [word.end() for word in re.finditer(unit, paragraph.plain)]


def _first_words(paragraphs: Sequence[Paragraph], count: int) -> tuple[Paragraph, ...]:
    kept = []
    for paragraph in paragraphs:
        ends = _word_ends(paragraph)[:count]
        if ends:
            kept.append(replace(paragraph, runs=cut_runs(paragraph.runs, (0, ends[-1]))))
        count -= len(ends)
    return tuple(kept)
