"""The slide of conclusions: how certain each is, what speaks against it, what else may be, and the
slides that show what it rests on."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import TypeAlias

from slidekit.errors import FitError
from slidekit.evidence.certainty import RUNGS, Certainty, certainty_in_words
from slidekit.scene.frame import GAP_MM, content_below
from slidekit.scene.model import Box, Group, Item, Paragraph, Rect, Run, Shape, Stroke, Text
from slidekit.scene.stacks import Layer, Stack
from slidekit.scene.style import Style
from slidekit.scene.text import (
    as_written,
    drawn_height_mm,
    line_width_mm,
    paragraphs_of,
    sizes_of,
    text_height_mm,
)
from slidekit.scene.type_units import line_mm
from slidekit.storyboard.findings import Alternative, Finding
from slidekit.wording import labelled, phrase

Pages: TypeAlias = Sequence[tuple[int, str]]
"""Numbers and ids of slides, in order."""

WORD_MM = 47.0  # column of the certainty
SLIDES_MM = 34.0  # column of the slide numbers
MOST_SLIDES_PT = 16.0
ROW_GAP_MM = 4.4  # between findings, with a hairline in the middle
HAIRLINE_MM = 0.35
KERNED = 1.03  # lines hold so much more where a program kerns
SMALLER_PT = 6.0  # what stands below a statement is so much smaller
STEP_MM = (6.4, 2.2)  # one step of the ladder: width, height
STEP_GAP_MM = 1.0


@dataclass(frozen=True)
class Grounds:
    """What a finding rests on: the slides that show it, and what is cited for it."""

    pages: Pages
    cited: str = ""


def compose_findings(
    title: Text, findings: Mapping[str, Finding], grounds: Mapping[str, Grounds], style: Style
) -> list[Item]:
    """One row for each finding, all at one type size.

    Raises
    ------
    FitError
        If they need more height than there is at the least size; names the longest.
    """
    room = content_below(title)
    tried = [
        [_row(one, grounds[name], size_pt, room.width_mm, style) for name, one in findings.items()]
        for size_pt in sizes_of(style.sizes["body"])
    ]
    fitting = [rows for rows in tried if _fit(rows, room)]
    if not fitting:
        raise _misfit(list(findings), tried[-1], room)
    # where programs break a statement differently, some leave a gap below it: better smaller
    chosen = next((rows for rows in fitting if not any(row.has_gap for row in rows)), fitting[0])
    return list(_stacked(chosen, room, style))


def _fit(rows: Sequence["_Row"], room: Box) -> bool:
    return _needed_mm(rows) <= room.height_mm and all(row.words_whole for row in rows)


def _needed_mm(rows: Sequence["_Row"]) -> float:
    return sum(row.height_mm for row in rows) + ROW_GAP_MM * (len(rows) - 1)


def _misfit(names: Sequence[str], rows: Sequence["_Row"], room: Box) -> FitError:
    longest = max(zip(names, rows, strict=True), key=lambda named: named[1].height_mm)[0]
    over_mm = max(ceil(_needed_mm(rows) - room.height_mm), 1)
    return FitError(
        f"the findings need {over_mm} mm more height at {rows[0].sizes_pt[0]:g} pt, the least size;"
        f" `{longest}` takes the most",
        "Shorten the statements and what stands below them, or divide them over two slides",
    )


def _stacked(rows: Sequence["_Row"], room: Box, style: Style) -> Iterator[Item]:
    spare = room.height_mm - _needed_mm(rows)
    gap = ROW_GAP_MM + min(spare / len(rows), ROW_GAP_MM)
    top = room.top_mm
    for i, row in enumerate(rows):
        if i:
            line = Box(room.left_mm, top - gap / 2, room.width_mm, HAIRLINE_MM)
            yield Rect(line, fill=style.colors.plate)
        yield row.compose(room.left_mm, top)
        top += row.height_mm + gap


def _row(
    finding: Finding, grounds: Grounds, size_pt: float, width_mm: float, style: Style
) -> "_Row":
    small_pt = max(size_pt - SMALLER_PT, style.sizes["caption"].least_pt)
    return _Row(finding, grounds, (size_pt, small_pt), width_mm, style)


@dataclass(frozen=True)
class _Row:
    """One finding at one pair of type sizes: of its statement, and of all the rest."""

    finding: Finding
    grounds: Grounds
    sizes_pt: tuple[float, float]
    width_mm: float
    style: Style

    @property
    def slides(self) -> Paragraph:
        return _slide_links(self.grounds.pages, self.style)

    @property
    def _below(self) -> tuple[Paragraph, ...]:
        return _below(self.finding, self.grounds.cited)

    @property
    def _statement(self) -> tuple[Paragraph, ...]:
        return paragraphs_of(self.finding.statement)

    @property
    def _text_mm(self) -> float:
        return self.width_mm - WORD_MM - SLIDES_MM - 2 * GAP_MM

    @property
    def _words(self) -> Stack:
        """The statement, and below it all the rest."""
        colors, (size_pt, small_pt) = self.style.colors, self.sizes_pt
        statement = Layer(self._statement, size_pt, colors.ink, "body")
        below = Layer(self._below, small_pt, colors.quiet, "caption")
        return Stack((statement, below), self._text_mm)

    @property
    def has_gap(self) -> bool:
        """Whether some program draws the statement with fewer lines than there is room for."""
        fewest_mm = drawn_height_mm(self._statement, KERNED * self._text_mm, self.sizes_pt[0])
        return bool(self._below) and fewest_mm < self._words.heights_mm[0]

    @property
    def height_mm(self) -> float:
        """Of the tallest of its three columns."""
        first_mm = line_mm(self.sizes_pt[0])
        return max(
            self._words.height_mm,
            first_mm + STEP_MM[1] + STEP_GAP_MM,
            self._slides_drop_mm + text_height_mm((self.slides,), SLIDES_MM, self._slides_pt),
        )

    @property
    def words_whole(self) -> bool:
        """Whether no word has to be broken."""
        return self._words.words_whole

    @property
    def _slides_pt(self) -> float:
        return min(self.sizes_pt[1], MOST_SLIDES_PT)

    @property
    def _slides_drop_mm(self) -> float:
        """From the top of the row: in the middle of the statement's first line."""
        return (line_mm(self.sizes_pt[0]) - line_mm(self._slides_pt)) / 2

    def compose(self, left_mm: float, top_mm: float) -> Group:
        """Certainty at the left, statement and the rest, slides at the right."""
        items = (
            *self._certainty(left_mm, top_mm),
            *self._words.texts(left_mm + WORD_MM + GAP_MM, top_mm),
            self._slides_at(left_mm + self.width_mm - SLIDES_MM, top_mm),
        )
        said = [labelled(certainty_in_words(self.finding.certainty), self.finding.statement)]
        said += [paragraph.plain for paragraph in (*self._below, self.slides)]
        return Group(f"Finding: {self.finding.statement}", "\n".join(said), items)

    def _slides_at(self, left_mm: float, top_mm: float) -> Text:
        drop_mm = self._slides_drop_mm
        box = Box(left_mm, top_mm + drop_mm, SLIDES_MM, self.height_mm - drop_mm)
        quiet = self.style.colors.quiet
        return Text(box, (self.slides,), self._slides_pt, quiet, "caption", align="right")

    def _certainty(self, left_mm: float, top_mm: float) -> Iterator[Shape | Text]:
        """The word on the line of the statement, and how high it stands on the ladder."""
        first_mm = line_mm(self.sizes_pt[0])
        word = certainty_in_words(self.finding.certainty)
        widest_pt = WORD_MM / (KERNED * line_width_mm(word, 1, bold=True))
        yield Text(
            Box(left_mm, top_mm, WORD_MM, first_mm),
            as_written(word, bold=True),
            min(self.sizes_pt[1], self.style.sizes["caption"].pt, widest_pt),
            self.style.colors.accent,
            "caption",
            anchor="middle",
        )
        yield from _ladder(self.finding.certainty, (left_mm, top_mm + first_mm), self.style)


def _ladder(certainty: Certainty, at_mm: tuple[float, float], style: Style) -> Iterator[Rect]:
    """Four steps, as many of them filled as the word is high; for what cannot be shown an empty
    frame as long as all four, since it is no step."""
    (left, top), (width, height) = at_mm, STEP_MM
    stroke = Stroke(style.colors.accent, 0.75)
    if certainty == "cannot be shown":
        whole = len(RUNGS) * width + (len(RUNGS) - 1) * STEP_GAP_MM
        yield Rect(Box(left, top, whole, height), stroke=stroke)
        return
    for step in range(len(RUNGS)):
        box = Box(left + step * (width + STEP_GAP_MM), top, width, height)
        filled = step <= RUNGS.index(certainty)
        yield Rect(box, fill=style.colors.accent) if filled else Rect(box, stroke=stroke)


def _below(finding: Finding, cited: str) -> tuple[Paragraph, ...]:
    """What speaks against it, what else may be, why it is held all the same, and after whom."""
    lines: list[Paragraph] = []
    if finding.against:
        lines.append(_labelled(phrase("Against"), finding.against))
    lines += _alternatives(finding)
    if finding.although:
        lines.append(_labelled(phrase("All the same"), finding.although))
    if cited:
        lines.append(_labelled(phrase("After"), cited))
    return tuple(lines)


def _alternatives(finding: Finding) -> Iterator[Paragraph]:
    """A line for each; those of a question that stays open in one."""
    others = finding.alternatives
    if finding.certainty == "cannot be shown" and not any(one.why_less for one in others):
        if others:
            yield _labelled(phrase("Between"), " · ".join(one.statement for one in others))
        return
    for one in others:
        yield _labelled(phrase("Or"), _with_reason(one))


def _with_reason(alternative: Alternative) -> str:
    if not alternative.why_less:
        return alternative.statement
    why = phrase("less likely: {why}", why=alternative.why_less)
    return f"{alternative.statement.rstrip('.')} \N{EN DASH} {why}"


def _labelled(label: str, text: str) -> Paragraph:
    (paragraph,) = paragraphs_of(" ".join(text.split()))
    return Paragraph((Run(labelled(label, ""), bold=True), *paragraph.runs))


def _slide_links(pages: Pages, style: Style) -> Paragraph:
    if not pages:
        return Paragraph((Run(phrase("Its slides are left out here")),))
    runs = [Run(f"{phrase('Slide') if len(pages) == 1 else phrase('Slides')} ")]
    for i, (number, page_id) in enumerate(pages):
        runs += [Run(", ")] if i else []
        runs.append(Run(str(number), color=style.colors.accent, link=page_id))
    return Paragraph(tuple(runs))
