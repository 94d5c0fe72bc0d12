"""A printed exhibit panel: headline, lead, pictures with their words, text, and the small print.

The type is as large as leaves the pictures their share of the panel; it steps down until they
have it. Nothing overflows and nothing is cut off: what does not fit at the least sizes is an
error that says by how much.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil, inf, sqrt

from slidekit.errors import FitError
from slidekit.scene.cautions import panel_caution
from slidekit.scene.exhibits import Exhibit, exhibits_of
from slidekit.scene.model import Box, Item, Page, Paragraph, Rect, Text
from slidekit.scene.panel.body import Body, Way, Words, body_in_column, body_in_halves
from slidekit.scene.panel.foot import (
    Block,
    compose_foot,
    foot_blocks,
    foot_height_mm,
)
from slidekit.scene.panel.gallery import Gallery, Setting, arrange_gallery, least_height_mm
from slidekit.scene.panel.supplements import Supplement
from slidekit.scene.panel.text import (
    LONGEST_LINE,
    SHORTEST_LINE,
    set_column,
    set_headlines,
)
from slidekit.scene.panel.type_sizes import PanelType, measure_mm, type_ladder
from slidekit.scene.pictures.fineness import CLEAR_PPI, fineness_of, softness_notes
from slidekit.scene.sights.model import Cast, Sights
from slidekit.scene.speech import cast_of
from slidekit.scene.style import Style
from slidekit.scene.text import (
    misfit,
    paragraphs_of,
    words_whole,
)
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.talk import Talk

MARGIN_SHARE = 1 / 14  # of the shorter side
LEAST_PICTURE_SHARE = 0.3  # of the shorter side: a square of it is the least area of the pictures
ENOUGH_SHARE = 0.33  # of the panel: pictures need not be larger at the cost of the type
TYPE_WEIGHT = 1.5  # of the type's size against the pictures' area
HEADLINE_WEIGHT = 0.7
COLUMN_LETTERS = (52, 46, SHORTEST_LINE)  # widths to try for text beside the pictures
LEAD_WORDS = 30  # a first paragraph of so few words is the lead, which says it all
LETTERS_PER_WORD = 6  # with its space
NOTE_ROUNDS = 3  # a note takes room, which changes the size it speaks of
HEADLINE_LINES = 2  # above everything
COLUMN_HEADLINE_LINES = 3  # above the text in its column


@dataclass(frozen=True)
class _Job:
    """What is to be shown, and where: the same at every type size."""

    headline: tuple[Paragraph, ...]
    lead: tuple[Paragraph, ...]
    words: Words
    exhibits: tuple[Exhibit, ...]
    foot: tuple[Block, ...]
    cast: Cast
    content: Box
    page_mm2: float
    style: Style

    @property
    def least_picture_mm(self) -> float:
        """Side of the square that has the least area of each picture."""
        shorter_mm = self.content.left_mm / MARGIN_SHARE
        return LEAST_PICTURE_SHARE * shorter_mm / sqrt(len(self.exhibits))


@dataclass(frozen=True)
class _Layout:
    """One way to fill the panel at one type size."""

    type: PanelType
    headline: Text
    lead: tuple[Text, ...]
    body: Body
    gallery: Gallery

    @property
    def words_whole(self) -> bool:
        return Body(self.lead).words_whole and self.body.words_whole


@dataclass(frozen=True)
class Beside:
    """What stands on a panel besides its own words and pictures."""

    supplements: tuple[Supplement, ...] = ()
    """With its text."""
    references: tuple[str, ...] = ()
    """What it cites, in full, in its small print."""


_NOTHING = Beside()


@dataclass(frozen=True)
class _Shown:
    """What is drawn on a panel besides its words."""

    sights: Sights
    notes: Mapping[str, str]  # of pictures that print soft
    beside: Beside
    style: Style


def compose_panel(
    name: str,
    panel: Panel,
    sights: Sights,
    style: Style,
    talk: Talk,
    beside: Beside = _NOTHING,
) -> Page:
    """The panel as a page of its own size; under pictures that print soft it says so.

    Raises
    ------
    FitError
        If texts and pictures do not fit at the least type sizes.
    ScanError
        If a region cannot be shown on its view.
    """
    notes: dict[str, str] = {}
    for _ in range(NOTE_ROUNDS):
        page = _compose(name, panel, _Shown(sights, notes, beside, style), talk)
        needed = softness_notes(fineness_of([page], sights, CLEAR_PPI))
        if needed == notes:
            break
        notes = needed
    return page


def _compose(name: str, panel: Panel, shown: _Shown, talk: Talk) -> Page:
    job = _job(panel, shown)
    ladder = type_ladder(job.style, panel.size_mm)
    found = (layout for type_ in ladder for layout in _layouts(job, type_))
    layouts = [layout for layout in found if layout.words_whole]
    if not layouts:
        raise _misfit(job, ladder[-1])

    def merit(layout: _Layout) -> float:
        pictures = min(layout.gallery.presence_mm2 / job.page_mm2 / ENOUGH_SHARE, 1.0)
        type_: float = (layout.type.body_pt / ladder[0].body_pt) ** TYPE_WEIGHT
        headline: float = (layout.headline.size_pt / ladder[0].title.pt) ** HEADLINE_WEIGHT
        return pictures * type_ * headline

    chosen = max(layouts, key=merit)
    return Page(
        id=name,
        title=panel.headline,
        layout="title_only",
        size_mm=panel.size_mm,
        ground=job.style.colors.ground,
        items=tuple(_items(job, chosen)),
        language=talk.language,
    )


def _job(panel: Panel, shown: _Shown) -> _Job:
    width_mm, height_mm = panel.size_mm
    margin_mm = MARGIN_SHARE * min(panel.size_mm)
    body = paragraphs_of(panel.body)
    lead_size = 1 if len(body) > 1 and len(body[0].plain.split()) <= LEAD_WORDS else 0
    exhibits = exhibits_of(panel.views, shown.sights, notes=shown.notes, foot=panel_caution())
    return _Job(
        headline=paragraphs_of(panel.headline, bold=True),
        lead=body[:lead_size],
        words=Words(body[lead_size:], shown.beside.supplements),
        exhibits=exhibits,
        foot=foot_blocks([exhibit.sight for exhibit in exhibits], shown.beside.references),
        cast=cast_of(panel.views),
        content=Box(0, 0, width_mm, height_mm).inset(margin_mm, margin_mm),
        page_mm2=width_mm * height_mm,
        style=shown.style,
    )


def _layouts(job: _Job, type_: PanelType) -> Iterator[_Layout]:
    """All ways to fill the panel with type of these sizes."""
    em = em_mm(type_.body_pt)
    foot_mm = foot_height_mm(job.foot, job.content.width_mm, type_.footer_pt)
    whole = job.content._replace(height_mm=job.content.height_mm - foot_mm - 1.2 * em)
    setting = Setting(job.style, type_, job.cast)
    for headline in set_headlines(job.headline, whole, type_.title, HEADLINE_LINES, job.style):
        room = _below(headline.box.bottom_mm + 0.8 * em, whole)
        yield from _stacked(job, headline, room, setting)
        for column, pictures in _columns_of(job, room, setting):
            yield from _side_by_side(job, headline, column, pictures, setting)
    for column, pictures in _columns_of(job, whole, setting):
        for headline in set_headlines(
            job.headline, column, type_.title, COLUMN_HEADLINE_LINES, job.style
        ):
            rest = _below(headline.box.bottom_mm + 0.8 * em, column)
            yield from _side_by_side(job, headline, rest, pictures, setting)


def _below(top_mm: float, room: Box) -> Box:
    return room._replace(top_mm=top_mm, height_mm=room.bottom_mm - top_mm)


def _stacked(job: _Job, headline: Text, room: Box, setting: Setting) -> Iterator[_Layout]:
    """Lead, pictures, text, one below the other; nothing if they do not fit."""
    sizes = setting.type
    lead = set_column(job.lead, room, sizes.lead_pt, job.style)
    for way in job.words.ways:
        above_mm, below_mm = _stack_mm(job, room, setting, way)
        if below_mm > room.height_mm:
            continue
        pictures = room._replace(
            top_mm=room.top_mm + above_mm, height_mm=room.height_mm - above_mm - below_mm
        )
        gallery = arrange_gallery(job.exhibits, pictures, setting, job.least_picture_mm)
        if gallery is not None:
            rest = _below(gallery.bottom_mm + _stack_gap_mm(setting), room)
            body = _body_under(gallery, job, rest, setting, way)
            yield _Layout(sizes, headline, lead, body, gallery)


def _stack_mm(job: _Job, room: Box, setting: Setting, way: Way) -> tuple[float, float]:
    """Heights that lead and text take in a stack, with the gaps to the pictures between them."""
    gap_mm = _stack_gap_mm(setting)
    lead = set_column(job.lead, room, setting.type.lead_pt, job.style)
    body = body_in_halves(job.words, _halves(room, setting), room, setting, way)
    above_mm = lead[0].box.height_mm + gap_mm if lead else 0.0
    return above_mm, body.bottom_mm - room.top_mm + gap_mm


def _stack_gap_mm(setting: Setting) -> float:
    return 1.2 * em_mm(setting.type.body_pt)


def _body_under(gallery: Gallery, job: _Job, room: Box, setting: Setting, way: Way) -> Body:
    """The text below the pictures, its columns in line with theirs if it fits so."""
    body = body_in_halves(job.words, _halves(room, setting), room, setting, way)
    lefts_mm = [hung.picture.left_mm for hung in gallery.last_row]
    if len(lefts_mm) == body.columns == 2:
        right = room._replace(left_mm=lefts_mm[1], width_mm=room.right_mm - lefts_mm[1])
        left = room._replace(width_mm=lefts_mm[1] - setting.column_gap_mm - room.left_mm)
        in_line = body_in_halves(job.words, (left, right), room, setting, way)
        if in_line.columns == 2 and in_line.bottom_mm <= room.bottom_mm:
            return in_line
    return body


def _halves(room: Box, setting: Setting) -> tuple[Box, Box]:
    half_mm = (room.width_mm - setting.column_gap_mm) / 2
    right = room._replace(left_mm=room.right_mm - half_mm, width_mm=half_mm)
    return room._replace(width_mm=half_mm), right


def _side_by_side(
    job: _Job, headline: Text, column: Box, pictures: Box, setting: Setting
) -> Iterator[_Layout]:
    """Lead and text in a column, pictures beside them; nothing if they do not fit."""
    sizes = setting.type
    lead = set_column(job.lead, column, sizes.lead_pt, job.style)
    if lead:
        column = _below(lead[0].box.bottom_mm + 0.8 * em_mm(sizes.lead_pt), column)
    body = body_in_column(job.words, column, setting)
    if body.bottom_mm <= column.bottom_mm:
        gallery = arrange_gallery(job.exhibits, pictures, setting, job.least_picture_mm)
        if gallery is not None:
            yield _Layout(sizes, headline, lead, body, gallery)


def _columns_of(job: _Job, room: Box, setting: Setting) -> Iterator[tuple[Box, Box]]:
    """Ways to divide a room into text and pictures, the text in lines of good length."""
    for letters in COLUMN_LETTERS:
        text_mm = measure_mm(job.words.body, setting.type.body_pt, letters)
        pictures_mm = room.width_mm - text_mm - 1.6 * setting.column_gap_mm
        if pictures_mm > 0:
            pictures = room._replace(left_mm=room.right_mm - pictures_mm, width_mm=pictures_mm)
            yield room._replace(width_mm=text_mm), pictures


def _items(job: _Job, layout: _Layout) -> Iterator[Item]:
    """In reading order: headline, lead, pictures, text, foot."""
    setting = Setting(job.style, layout.type, job.cast)
    headline = layout.headline
    bar = Box(
        job.content.left_mm,
        job.content.top_mm,
        1.2 * em_mm(headline.size_pt),
        0.07 * em_mm(headline.size_pt),
    )
    yield Rect(bar, fill=job.style.colors.accent)
    yield headline
    yield from layout.lead
    for hung in layout.gallery.hung:
        yield from hung.items(setting)
    yield from layout.body.items(setting)
    size_pt = layout.type.footer_pt
    foot_mm = foot_height_mm(job.foot, job.content.width_mm, size_pt)
    foot = job.content._replace(top_mm=job.content.bottom_mm - foot_mm, height_mm=foot_mm)
    yield from compose_foot(job.foot, foot, size_pt, job.style)


def _misfit(job: _Job, type_: PanelType) -> FitError:
    """By how much the least sizes are too large, one thing below the other."""
    content, setting = job.content, Setting(job.style, type_, job.cast)
    for paragraphs in (job.lead, job.words.body):
        if not words_whole(paragraphs, content.width_mm, type_.body_pt):
            return misfit(paragraphs, (content.width_mm, inf), type_.body_pt, "the text")
    title = type_.title
    headlines = list(set_headlines(job.headline, content, title, HEADLINE_LINES, job.style))
    if not headlines:
        room_mm = (content.width_mm, HEADLINE_LINES * line_mm(title.least_pt))
        return misfit(job.headline, room_mm, title.least_pt, "the headline")
    needed_mm = (
        headlines[-1].box.bottom_mm
        - content.top_mm
        + 2.0 * em_mm(type_.body_pt)
        + min(sum(_stack_mm(job, content, setting, way)) for way in job.words.ways)
        + least_height_mm(job.exhibits, content.width_mm, setting, job.least_picture_mm)
        + foot_height_mm(job.foot, content.width_mm, type_.footer_pt)
    )
    if needed_mm == inf:
        return FitError(
            f"what its counts or stages are called is too long for {content.width_mm:.0f} mm of"
            f" width at {type_.key_pt:g} pt, the least size",
            "Shorten what they are called, or make the panel wider",
        )
    over_mm = max(needed_mm - content.height_mm, 1.0)
    return FitError(
        f"its texts and pictures need {ceil(over_mm)} mm more height "
        f"at {type_.body_pt:g} pt, the least size of its text",
        _remedy(job, over_mm, type_),
    )


def _remedy(job: _Job, over_mm: float, type_: PanelType) -> str:
    body = (*job.lead, *job.words.body)
    letters = min(job.content.width_mm / measure_mm(body, type_.body_pt, 1), LONGEST_LINE)
    lines = ceil(over_mm / line_mm(type_.body_pt))
    surplus = ceil(lines * letters / LETTERS_PER_WORD)
    if surplus < sum(len(paragraph.plain.split()) for paragraph in body):
        return f"Shorten the texts by about {surplus} words, show fewer views, or make it larger"
    return "Show fewer views, or make it larger: shorter texts alone are not enough"
