"""Headline, lead and text of a panel, set in lines of good length."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

from slidekit.scene.model import Box, Paragraph, Text
from slidekit.scene.panel.type_sizes import measure_mm
from slidekit.scene.style import Size, Style
from slidekit.scene.text import drawn_height_mm, text_fits, words_whole, wrap_lines
from slidekit.scene.type_units import em_mm, line_mm

LONGEST_LINE = 60  # letters; 45 to 60 are read with ease
SHORTEST_LINE = 40
RUNT_LETTERS = 9  # a last line of fewer letters looks lost
PARAGRAPH_GAP_EM = 0.55
ONE_LINE_SHARE = 0.75  # of its first size is what a headline gives up to stand in one line
HEADLINE_TOP_EM = 0.28  # below its bar


def set_headlines(
    headline: Sequence[Paragraph], room: Box, size: Size, most_lines: int, style: Style
) -> Iterator[Text]:
    """The headline at the top of a room, below its bar: in one line if that leaves it large
    enough, else in lines of about one length; and as small as it may be, which leaves more room
    for the rest. None if `most_lines` are not enough."""
    shapes = ((1, ONE_LINE_SHARE * size.pt), (most_lines, size.least_pt))
    large_pt = next(
        (
            float(size_pt)
            for lines, least_pt in shapes
            for size_pt in range(round(size.pt), ceil(max(least_pt, size.least_pt)) - 1, -1)
            if text_fits(headline, room.width_mm, lines * line_mm(size_pt), size_pt)
        ),
        None,
    )
    if large_pt is not None:
        yield _set_headline(headline, room, large_pt, style)
        yield _set_headline(headline, room, size.least_pt, style)


def _set_headline(headline: Sequence[Paragraph], room: Box, size_pt: float, style: Style) -> Text:
    box = Box(
        room.left_mm,
        room.top_mm + HEADLINE_TOP_EM * em_mm(size_pt),
        _balanced_mm(headline, room.width_mm, size_pt),
        drawn_height_mm(headline, room.width_mm, size_pt),
    )
    return Text(box, tuple(headline), size_pt, style.colors.ink, "title", name="Headline")


def _balanced_mm(paragraphs: Sequence[Paragraph], width_mm: float, size_pt: float) -> float:
    """The least width in which the text needs no more lines than in `width_mm`."""
    height_mm = drawn_height_mm(paragraphs, width_mm, size_pt)
    too_narrow, fits = 0.0, width_mm
    while fits - too_narrow > 1.0:
        tried = (too_narrow + fits) / 2
        same = drawn_height_mm(paragraphs, tried, size_pt) <= height_mm
        if same and words_whole(paragraphs, tried, size_pt):
            fits = tried
        else:
            too_narrow = tried
    return fits


def set_column(
    paragraphs: Sequence[Paragraph], room: Box, size_pt: float, style: Style
) -> tuple[Text, ...]:
    """Paragraphs from the room's top down, in lines of a length that is read with ease; nothing
    for none."""
    if not paragraphs:
        return ()
    spaced = tuple(
        replace(paragraph, space_before_pt=PARAGRAPH_GAP_EM * size_pt if i else 0.0)
        for i, paragraph in enumerate(paragraphs)
    )
    longest_mm = min(room.width_mm, measure_mm(paragraphs, size_pt, LONGEST_LINE))
    width_mm = _width_without_runts(spaced, longest_mm, size_pt)
    height_mm = drawn_height_mm(spaced, width_mm, size_pt)
    box = Box(room.left_mm, room.top_mm, width_mm, height_mm)
    return (Text(box, spaced, size_pt, style.colors.ink, "body"),)


def _width_without_runts(
    paragraphs: Sequence[Paragraph], longest_mm: float, size_pt: float
) -> float:
    """The greatest width, a little below `longest_mm`, at which fewest paragraphs end in a line
    of a few letters, for no more height."""
    height_mm = drawn_height_mm(paragraphs, longest_mm, size_pt)

    def runts(width_mm: float) -> int:
        last_lines = (wrap_lines(paragraph, width_mm, size_pt)[-1] for paragraph in paragraphs)
        return sum(sum(len(run.text) for run in line) < RUNT_LETTERS for line in last_lines)

    widths_mm = (longest_mm * (1 - 0.01 * i) for i in range(9))
    as_high = (w for w in widths_mm if drawn_height_mm(paragraphs, w, size_pt) <= height_mm)
    return min(as_high, key=runts)


def set_columns(
    paragraphs: Sequence[Paragraph],
    halves: tuple[Box, Box],
    room: Box,
    size_pt: float,
    style: Style,
) -> tuple[Text, ...]:
    """The paragraphs in two columns, if both hold lines of good length, else in one."""
    narrower_mm = min(half.width_mm for half in halves)
    if len(paragraphs) < 2 or narrower_mm < measure_mm(paragraphs, size_pt, SHORTEST_LINE):
        return set_column(paragraphs, room, size_pt, style)
    splits = [
        (
            *set_column(paragraphs[:i], halves[0], size_pt, style),
            *set_column(paragraphs[i:], halves[1], size_pt, style),
        )
        for i in range(1, len(paragraphs))
    ]
    return min(splits, key=lambda texts: max(text.box.height_mm for text in texts))
