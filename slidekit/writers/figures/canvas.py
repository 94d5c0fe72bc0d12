"""Items of the scene as matplotlib artists. The whole canvas is one coordinate system in
millimetres from the page's top left, whatever the format and its resolution.

matplotlib is imported where a page is drawn: it takes half a second, and most builds draw none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal, TypeAlias, assert_never

import numpy as np

from slidekit.scene.model import (
    DASH_LENGTHS,
    Box,
    Ellipse,
    Group,
    Item,
    Page,
    Picture,
    Polyline,
    Rect,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.type_units import MM_PER_PT
from slidekit.scene.typeset import SetRun, set_lines
from slidekit.writers.figures.letters import as_drawn, font_path, needs_outlines

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.path import Path as Outline

MM_PER_INCH = 25.4
Interpolation: TypeAlias = Literal["none", "hanning"]
_ARC = 4 / 3 * (2**0.5 - 1)  # control points of a quarter circle drawn as one cubic curve

_SETTINGS: dict[Any, Any] = {
    "image.composite_image": False,  # every picture keeps its own pixels
    "lines.scale_dashes": True,  # DASH_LENGTHS are in line widths
    "path.simplify": False,
    "path.snap": False,
    "pdf.compression": 9,
    "pdf.fonttype": 42,  # TrueType outlines, embedded
    "pdf.use14corefonts": False,
    "text.hinting": "none",  # letters stand where they were measured
    "text.usetex": False,
}


@contextmanager
def own_settings() -> Iterator[None]:
    """Draw by our settings, whatever configuration file the user has."""
    import matplotlib

    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(_SETTINGS)
        yield


def figure_of(
    page: Page, size_inches: tuple[float, float], dpi: float, interpolation: Interpolation
) -> Figure:
    """A figure of `size_inches` with the page drawn at true scale from its top left corner.

    Call it, and draw the figure, within `own_settings`. `size_inches` is the page's size, or
    that size made up to whole pixels. Pictures are handed on as they are (`none`), or met with
    the pixels of the canvas smoothly.
    """
    from matplotlib.figure import Figure

    figure = Figure(figsize=size_inches, dpi=dpi, facecolor=page.ground)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set_xlim(0, size_inches[0] * MM_PER_INCH)
    axes.set_ylim(size_inches[1] * MM_PER_INCH, 0)
    for order, artist in enumerate(_artists(page.items, axes, interpolation, page.language)):
        artist.set_zorder(order)
        axes.add_artist(artist)
    return figure


def _artists(
    items: Iterable[Item], axes: Axes, interpolation: Interpolation, language: str
) -> Iterator[Artist]:
    for item in items:
        match item:
            case Group(items=members):
                yield from _artists(members, axes, interpolation, language)
            case Picture():
                yield _picture(item, axes, interpolation)
            case Text():
                yield from _text(item, axes, language)
            case Polyline() | Ellipse() | Rect():
                yield _shape(item)
            case _:
                assert_never(item)


def _picture(picture: Picture, axes: Axes, interpolation: Interpolation) -> Artist:
    from matplotlib.image import AxesImage

    rgb = picture.drawn
    if rgb.ndim == 2:
        rgb = np.repeat(rgb[..., np.newaxis], 3, axis=2)
    box = picture.box
    image = AxesImage(
        axes,
        interpolation=interpolation,
        extent=(box.left_mm, box.right_mm, box.bottom_mm, box.top_mm),
        origin="lower",  # so that a PDF holds the rows top down, as whoever takes them out expects
    )
    image.set_data(rgb[::-1])
    return image


def _text(text: Text, axes: Axes, language: str) -> Iterator[Artist]:
    if text.fill is not None:
        yield _shape(Rect(text.box, text.corner_mm, fill=text.fill))
    for line in set_lines(text, language):
        for run in line.runs:
            yield _letters(run, line.baseline_mm, text.size_pt, axes)


def _letters(run: SetRun, baseline_mm: float, size_pt: float, axes: Axes) -> Artist:
    from matplotlib.font_manager import FontProperties
    from matplotlib.text import Text as TextArtist

    if needs_outlines(run):
        return _outlines(run, baseline_mm, size_pt)
    return TextArtist(
        run.left_mm,
        baseline_mm,
        as_drawn(run),
        color=run.color,
        fontproperties=FontProperties(fname=font_path(run), size=size_pt),
        horizontalalignment="left",
        verticalalignment="baseline",
        parse_math=False,
        transform=axes.transData,
    )


def _outlines(run: SetRun, baseline_mm: float, size_pt: float) -> Artist:
    from matplotlib.font_manager import FontProperties
    from matplotlib.patches import PathPatch
    from matplotlib.textpath import TextPath
    from matplotlib.transforms import Affine2D

    font = FontProperties(fname=font_path(run))
    outline = TextPath((0, 0), run.text, size=size_pt, prop=font)
    on_page = Affine2D().scale(MM_PER_PT, -MM_PER_PT).translate(run.left_mm, baseline_mm)
    return PathPatch(on_page.transform_path(outline), facecolor=run.color, linewidth=0)


def _shape(shape: Shape) -> Artist:
    from matplotlib.patches import Ellipse as EllipsePatch
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as Outline

    look = _look(shape.stroke, shape.fill)
    match shape:
        case Polyline(points_mm=points, closed=closed):
            vertices = [*points, points[0]] if closed else list(points)
            return PathPatch(Outline(vertices, closed=closed), **look)
        case Ellipse(center_mm=center, radii_mm=(across, down)):
            return EllipsePatch(center, 2 * across, 2 * down, angle=shape.rotation_deg, **look)
        case Rect(box=box, corner_mm=corner):
            return PathPatch(_rounded(box, corner), **look)
        case _:
            assert_never(shape)


def _look(stroke: Stroke | None, fill: str | None) -> dict[str, Any]:
    look: dict[str, Any] = {"facecolor": fill or "none", "edgecolor": "none", "linewidth": 0.0}
    if stroke is not None:
        lengths = DASH_LENGTHS[stroke.dash]
        look |= {
            "edgecolor": stroke.color,
            "linewidth": stroke.width_pt,
            "linestyle": (0, lengths) if lengths else "solid",
            "capstyle": "butt",  # round caps lengthen each dash
            "joinstyle": "round",
        }
    return look


def _rounded(box: Box, corner_mm: float) -> Outline:
    """A rectangle whose corners are quarter circles."""
    from matplotlib.path import Path as Outline

    left, top, right, bottom = box.left_mm, box.top_mm, box.right_mm, box.bottom_mm
    r = min(corner_mm, box.width_mm / 2, box.height_mm / 2)
    if r <= 0:
        corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
        return Outline(corners, closed=True)
    k = r * (1 - _ARC)
    vertices = [
        (left + r, top),
        (right - r, top), (right - k, top), (right, top + k), (right, top + r),
        (right, bottom - r), (right, bottom - k), (right - k, bottom), (right - r, bottom),
        (left + r, bottom), (left + k, bottom), (left, bottom - k), (left, bottom - r),
        (left, top + r), (left, top + k), (left + k, top), (left + r, top),
        (left + r, top),
    ]  # fmt: skip
    side = [Outline.LINETO, Outline.CURVE4, Outline.CURVE4, Outline.CURVE4]
    return Outline(vertices, [Outline.MOVETO, *side * 4, Outline.CLOSEPOLY])
