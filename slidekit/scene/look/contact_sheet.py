"""The series of a folder as a sheet of middle slices: what is there, and what each is called.

Neither descriptions nor file names are written on a sheet, because they can name a person.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

from slidekit.errors import ScanError
from slidekit.scans.automatic import find_window
from slidekit.scans.geometry import position_range_mm, slice_normal, slice_positions
from slidekit.scans.model import (
    PLANE_AXES,
    AutomaticWindow,
    GreyWindow,
    Plane,
    PlaneImage,
    PlaneRequest,
    ScanPicture,
    Series,
)
from slidekit.scans.pictures import make_picture, make_plain_picture
from slidekit.scans.stacking import typical_step
from slidekit.scans.viewing import read_views
from slidekit.scene.frame import GAP_MM, Heading, compose_page, compose_title, content_below
from slidekit.scene.model import Box, Item, Page, Paragraph, Rect, Run, Text
from slidekit.scene.pictures.compose import compose_sight
from slidekit.scene.pictures.whereabouts import signed
from slidekit.scene.sights.model import Cast, Sight
from slidekit.scene.sights.windowing import UsedWindow
from slidekit.scene.style import Size, Style
from slidekit.scene.text import fit_size_pt, text_fits
from slidekit.storyboard.views import View

_COLUMNS, _ROWS = 2, 3
_PAD_MM = 3.0
_UPRIGHT = 0.7  # height over width from which the words stand below the picture
_WORDS_SHARE = 0.33  # of an upright cell's height
_PICTURE_SHARE = 0.45  # of another cell's width, at most
_WORDS_SIZE = Size(pt=14, least_pt=8)  # for reading at a desk
_PREVIEW_PX = 480
_PERCENTILES = (1.0, 99.5)  # shown from black to white where the files state no window


@dataclass(frozen=True)
class Preview:
    """A series and its middle slice, or why that cannot be shown."""

    series: Series
    picture: ScanPicture | None
    reason: str = ""


def preview_series(
    series: Sequence[Series], advance: Callable[[str], None] = lambda _: None
) -> tuple[Preview, ...]:
    """The middle slice of each series, in the first window its files state, else in one that suits
    its values. `advance` is called with the name of each series when it is done."""
    previews = []
    for one in series:
        previews.append(_preview(one))
        advance(one.name)
    return tuple(previews)


def _preview(series: Series) -> Preview:
    plane: Plane = "picture" if series.kind == "page" else "acquired"
    request = PlaneRequest(plane, slice_number=len(series.slices) // 2 + 1)
    try:
        (image,) = read_views(series, [request])
    except ScanError as error:
        return Preview(series, None, error.wrong)
    if series.as_is:
        return Preview(series, make_plain_picture(image, target_px=_PREVIEW_PX))
    window = series.stored_window or _window_for(image)
    return Preview(series, make_picture(image, window, target_px=_PREVIEW_PX))


def _window_for(image: PlaneImage) -> GreyWindow:
    try:
        return find_window(image, AutomaticWindow(_PERCENTILES))
    except ScanError:  # one value, or hardly any
        values = image.values[~image.absent]
        return GreyWindow(float(values[0]) if values.size else 0.0, 1.0)


def compose_contact_sheet(
    previews: Sequence[Preview], left_out: int, style: Style
) -> tuple[Page, ...]:
    """Pages of up to six series each, those without a place in the patient last.

    `left_out` says how many files could not be used.
    """
    previews = sorted(previews, key=lambda one: one.series.kind == "page")
    per_page = _COLUMNS * _ROWS
    groups = [previews[i : i + per_page] for i in range(0, len(previews), per_page)]
    pages = []
    for number, shown in enumerate(groups, start=1):
        part = f" ({number} of {len(groups)})" if len(groups) > 1 else ""
        title = compose_title(f"What there is{part}", style)
        cells = [_cell(box) for box in _boxes(content_below(title), len(shown))]
        counted = (_counted(previews, left_out),)
        heading = Heading(f"series-{number}", title.plain, "", counted, "en")
        items = tuple(_items(shown, cells, style))
        pages.append(compose_page(heading, "title_only", (title, *items), number, style))
    return tuple(pages)


def _counted(previews: Sequence[Preview], left_out: int) -> str:
    files = "1 file" if left_out == 1 else f"{left_out} files"
    rest = f", {files} left out" if left_out else ""
    return f"{len(previews)} series{rest}"


def _boxes(room: Box, count: int) -> list[Box]:
    columns, rows = min(count, _COLUMNS), ceil(count / _COLUMNS)
    width = (room.width_mm - (columns - 1) * GAP_MM) / columns
    height = (room.height_mm - (rows - 1) * GAP_MM) / rows
    places = [divmod(i, _COLUMNS) for i in range(count)]
    return [
        Box(
            room.left_mm + column * (width + GAP_MM),
            room.top_mm + row * (height + GAP_MM),
            width,
            height,
        )
        for row, column in places
    ]


class _Cell(NamedTuple):
    """The place of one series, and in it those of its picture and its words."""

    plate: Box
    picture: Box
    words: Box


def _cell(plate: Box) -> _Cell:
    """Picture and words side by side, or in an upright cell one below the other."""
    inner = plate.inset(_PAD_MM, _PAD_MM)
    if plate.height_mm > _UPRIGHT * plate.width_mm:
        picture = inner._replace(height_mm=inner.height_mm * (1 - _WORDS_SHARE) - _PAD_MM)
        top = picture.bottom_mm + _PAD_MM
        words = inner._replace(top_mm=top, height_mm=inner.bottom_mm - top)
    else:
        side = min(inner.height_mm, inner.width_mm * _PICTURE_SHARE)
        picture = inner._replace(width_mm=side)
        left = picture.right_mm + 2 * _PAD_MM
        words = inner._replace(left_mm=left, width_mm=inner.right_mm - left)
    return _Cell(plate, picture, words)


def _items(previews: Sequence[Preview], cells: Sequence[_Cell], style: Style) -> Iterator[Item]:
    """All cells, their words at one size."""
    known = [_known(preview) for preview in previews]
    size_pt = min(
        fit_size_pt(
            words, cell.words.width_mm, cell.words.height_mm, _WORDS_SIZE, "what a sheet says"
        )
        for words, cell in zip(known, cells, strict=True)
    )
    for preview, words, cell in zip(previews, known, cells, strict=True):
        yield Rect(cell.plate, 2.0, fill=style.colors.plate)
        yield from _picture(preview, cell.picture, style)
        remarks = [
            Paragraph((Run(one, color=style.colors.quiet),)) for one in preview.series.remarks
        ]
        said = _as_many_as_fit(words, remarks, cell.words, size_pt)
        yield Text(cell.words, said, size_pt, style.colors.ink, "data")


def _as_many_as_fit(
    words: Sequence[Paragraph], more: Sequence[Paragraph], box: Box, size_pt: float
) -> tuple[Paragraph, ...]:
    said = tuple(words)
    for paragraph in more:
        if text_fits((*said, paragraph), box.width_mm, box.height_mm, size_pt):
            said = (*said, paragraph)
    return said


def _picture(preview: Preview, frame: Box, style: Style) -> Iterator[Item]:
    picture = preview.picture
    if picture is None:
        return
    view = View(scan="scan", plane=picture.plane, slice=picture.slice_number, window="shown")
    name = f"Series {preview.series.name}"
    used = tuple(UsedWindow(scale, "author") for scale in picture.scales)
    sight = Sight(name, view, picture, used, "", "", human_remains=False)
    width = min(frame.width_mm, frame.height_mm * sight.aspect)
    height = width / sight.aspect
    box = Box(frame.center_mm[0] - width / 2, frame.center_mm[1] - height / 2, width, height)
    yield from compose_sight(sight, (), box, Cast({}, {}), style)


def _known(preview: Preview) -> list[Paragraph]:
    """What is known of the series, the remarks apart."""
    series = preview.series
    head = " · ".join(filter(None, [series.modality, _kind(series), *series.technique]))
    paragraphs = [Paragraph((Run(head, bold=True),))]
    if series.uid:  # else it is a file of its own
        paragraphs.append(Paragraph((Run("Write "), Run(f'series: "{series.name}"', bold=True))))
    if series.kind == "page":
        paragraphs.append(Paragraph((Run("In a view write "), Run("plane: picture", bold=True))))
    lines = [*_sizes(series), *_places(series), _shown(preview)]
    return paragraphs + [Paragraph((Run(line),)) for line in lines if line]


def _shown(preview: Preview) -> str:
    picture = preview.picture
    if picture is None:
        return preview.reason
    if not picture.scales:
        return "Shown as it is"
    window = UsedWindow(picture.scales[0], "author").in_words(picture.unit)
    source = "the files' window" if preview.series.stored_window else "window to suit,"
    what = "picture" if picture.plane == "picture" else "slice"
    return f"Shown: {what} {picture.slice_number or 1}, {source} {window}"


def _kind(series: Series) -> str:
    return {
        "stack": "stack of slices",
        "single": "one slice",
        "localizer": "localizer",
        "page": "pages without a place in the patient",
    }[series.kind]


def _sizes(series: Series) -> Iterator[str]:
    count = len(series.slices)
    what = "picture" if series.kind == "page" else "slice"
    slices = f"1 {what}" if count == 1 else f"{count} {what}s"
    yield f"{slices} of {series.columns} × {series.rows} pixels"
    if series.kind == "page":
        return
    across = f"{series.column_spacing_mm:.3g} × {series.row_spacing_mm:.3g} mm"
    step = typical_step(slice_positions(series) @ slice_normal(series))
    yield f"Pixels {across}" + (f", slices {step:.3g} mm apart" if step else "")


def _places(series: Series) -> Iterator[str]:
    if series.kind == "page":
        return
    ranges = []
    for plane, axes in PLANE_AXES.items():
        axis = next(axis for axis in "xyz" if axis not in axes)
        low, high = position_range_mm(series, plane)
        reach = signed(low) if signed(low) == signed(high) else f"{signed(low)} to {signed(high)}"
        ranges.append(f"{axis} {reach}")
    yield f"{', '.join(sorted(ranges))} mm"
