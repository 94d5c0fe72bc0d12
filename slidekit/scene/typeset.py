"""Where each line of a text stands on the page, for the writers that draw letters themselves."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, groupby
from typing import Literal, TypeAlias

from slidekit.scene.fonts import (
    ARIMO,
    face_of,
    first_baseline_em,
    kerned_width_em,
    stretches,
)
from slidekit.scene.lettering.bidi import (
    Direction,
    Span,
    direction_of,
    embedding_levels,
    has_right_to_left,
    visual_order,
)
from slidekit.scene.lettering.files import Face, Family
from slidekit.scene.lettering.shaping import joins, words_and_gaps
from slidekit.scene.model import Paragraph, Run, Text
from slidekit.scene.text import BULLET, bullet_indent_mm, cut_runs, line_spans
from slidekit.scene.type_units import MM_PER_PT, line_mm

Align: TypeAlias = Literal["left", "center", "right"]

FLOWING = {"title", "body", "caption", "quote", "footer"}
"""Roles whose text begins at the right in a language written so; a label stays beside its mark."""


@dataclass(frozen=True)
class SetRun:
    """Letters of one face and colour, from `left_mm` on the page, in the order they are read in."""

    text: str
    face: Face
    color: str
    left_mm: float
    family: Family = ARIMO
    leftward: bool = False  # runs from right to left
    part_of: str = ""  # all letters of its look on this line


@dataclass(frozen=True)
class SetLine:
    """One line of letters on its baseline; `left_mm` and `width_mm` are of the letters. Its runs
    follow each other as they are read, which need not be from left to right."""

    runs: tuple[SetRun, ...]
    left_mm: float
    width_mm: float
    baseline_mm: float
    align: Align
    direction: Direction = "ltr"

    @property
    def plain(self) -> str:
        return "".join(run.text for run in self.runs)


def align_of(text: Text, direction: Direction) -> Align:
    """Where the lines of a paragraph begin: on the other side where it runs to the left."""
    mirrored = direction == "rtl" and text.role in FLOWING and text.align == "left"
    return "right" if mirrored else text.align


def set_lines(text: Text, language: str = "en") -> tuple[SetLine, ...]:
    """All lines of the text, top down, empty ones left out; a bullet is a line of its own beside
    the first line of its words.

    Runs follow each other at their kerned widths, as typesetting programs set them.
    """
    room = text.box.inset(*text.inset_mm)
    broken = [line_spans(paragraph, room.width_mm, text.size_pt) for paragraph in text.paragraphs]
    pitch_mm = line_mm(text.size_pt)
    gaps_mm = [_gap_above_mm(text.paragraphs, i) for i in range(len(broken))]
    height_mm = sum(gaps_mm) + pitch_mm * sum(max(len(spans), 1) for spans in broken)
    share = {"top": 0.0, "middle": 0.5, "bottom": 1.0}[text.anchor]
    baseline_mm = (
        room.top_mm
        + share * (room.height_mm - height_mm)
        + first_baseline_em() * text.size_pt * MM_PER_PT
    )
    lines: list[SetLine] = []
    for paragraph, spans, gap_mm in zip(text.paragraphs, broken, gaps_mm, strict=True):
        baseline_mm += gap_mm
        setting = _Setting.of(paragraph, text, language)
        if paragraph.bullet:
            lines.append(setting.bullet(baseline_mm))
        for span in spans:
            lines.append(setting.line(span, baseline_mm))
            baseline_mm += pitch_mm
        if not spans:
            baseline_mm += pitch_mm
    return tuple(lines)


def _gap_above_mm(paragraphs: Sequence[Paragraph], i: int) -> float:
    """There is nothing above the first paragraph that it should keep away from."""
    return paragraphs[i].space_before_pt * MM_PER_PT if i else 0.0


@dataclass(frozen=True)
class _Piece:
    """Letters of a line that are drawn at one go."""

    text: str
    face: Face
    family: Family
    color: str
    level: int
    part_of: str

    @property
    def width_em(self) -> float:
        return kerned_width_em(self.text, self.face, self.family)


@dataclass(frozen=True)
class _Setting:
    """How the lines of a paragraph are set."""

    paragraph: Paragraph
    text: Text
    direction: Direction
    levels: Sequence[int]

    @classmethod
    def of(cls, paragraph: Paragraph, text: Text, language: str) -> "_Setting":
        plain = paragraph.plain
        direction = direction_of(plain, language)
        if has_right_to_left(plain):
            return cls(paragraph, text, direction, embedding_levels(plain, direction))
        return cls(paragraph, text, direction, [0] * len(plain))

    @property
    def _base(self) -> int:
        return 1 if self.direction == "rtl" else 0

    def bullet(self, baseline_mm: float) -> SetLine:
        """Hangs on the side where lines begin, whatever the alignment."""
        piece = _Piece(
            BULLET, "Regular", next(stretches(BULLET)).family, self.text.color, 0, BULLET
        )
        align: Align = "right" if self.direction == "rtl" else "left"
        return self._set([piece], [0], baseline_mm, align)

    def line(self, span: Span, baseline_mm: float) -> SetLine:
        """The letters of a span, in their order."""
        pieces = list(self._pieces(span))
        spaces = [piece.text.isspace() for piece in pieces]
        order = visual_order([piece.level for piece in pieces], spaces, self._base)
        if self.paragraph.bullet:
            return self._set(pieces, order, baseline_mm, "right" if self._base else "left", True)
        return self._set(pieces, order, baseline_mm, align_of(self.text, self.direction))

    def _pieces(self, span: Span) -> Iterator[_Piece]:
        start = span[0]
        for run in cut_runs(self.paragraph.runs, span):
            levels = self.levels[start : start + len(run.text)]
            start += len(run.text)
            at = 0
            for level, members in groupby(levels):
                end = at + len(list(members))
                yield from _cut(run, run.text[at:end], level, self.text.color)
                at = end

    def _set(
        self,
        pieces: Sequence[_Piece],
        order: Sequence[int],
        baseline_mm: float,
        align: Align,
        indented: bool = False,
    ) -> SetLine:
        text, room = self.text, self.text.box.inset(*self.text.inset_mm)
        widths_mm = [pieces[i].width_em * text.size_pt * MM_PER_PT for i in order]
        indent_mm = bullet_indent_mm(text.size_pt) if indented else 0.0
        spare_mm = room.width_mm - indent_mm - sum(widths_mm)
        share = {"left": 0.0, "center": 0.5, "right": 1.0}[align]
        left_mm = room.left_mm + (0.0 if self._base else indent_mm) + share * spare_mm
        starts_mm = dict(zip(order, accumulate(widths_mm[:-1], initial=left_mm), strict=True))
        runs = tuple(
            SetRun(
                one.text,
                one.face,
                one.color,
                starts_mm[i],
                one.family,
                one.level % 2 == 1,
                one.part_of,
            )
            for i, one in enumerate(pieces)
        )
        return SetLine(runs, left_mm, sum(widths_mm), baseline_mm, align, self.direction)


def _cut(run: Run, text: str, level: int, color: str) -> Iterator[_Piece]:
    """By family, and by word where letters join: words are placed one by one."""
    face = face_of(bold=run.bold, italic=run.italic)
    for stretch in stretches(text):
        words = words_and_gaps(stretch.text) if joins(stretch.text) else [stretch.text]
        for word in words:
            nearest = stretch.family.nearest(face)
            yield _Piece(word, nearest, stretch.family, run.color or color, level, run.text)
