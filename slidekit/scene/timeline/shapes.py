"""The shapes of a timeline: bars with firm, soft and open ends, flags on poles, axis and legend.

An end that is only approximate fades out; an uncertain one has a dashed outline; a moment known
only within limits is a bar on the axis. Shapes are plain, so that a deck keeps them editable.
"""

from dataclasses import dataclass

from slidekit.evidence.dates import Date
from slidekit.scene.color import contrast_ratio, mix
from slidekit.scene.model import Box, Ellipse, Point, Polyline, Rect, Shape, Stroke
from slidekit.scene.style import Style
from slidekit.scene.timeline.axis import Scale
from slidekit.scene.timeline.places import Span

_END_ZONE_MM = 9.0  # of an end known only as "c." or "?", which have no length of their own
_END_ZONE_SHARE = 0.3  # of the bar, at most
_FADE_STEPS = 7
_SEAM_MM = 0.4  # that the fade reaches under the solid part
_LEAST_BAR_MM = 2.5
_HAIRLINE_MM = 0.35  # cut off either end, so that neighbours stay two bars
QUIET_SHARE = 0.16  # of the text colour in the fill of a period that is not highlighted
DOT_MM = 2.0  # radius of a moment on the axis
SPAN_HALF_MM = 1.5  # half the height of a span on the axis
_EDGE_PT = 1.25


@dataclass(frozen=True)
class End:
    """How one end of a bar is known."""

    approximate: bool
    uncertain: bool

    @property
    def is_firm(self) -> bool:
        return not (self.approximate or self.uncertain)


def end_of(date: Date) -> End:
    """A decade or century is as soft as "c."."""
    return End(date.approximate or date.earliest < date.latest, date.uncertain)


@dataclass(frozen=True)
class BarShape:
    """A bar along x: all of it, and the part between its two ends' zones of doubt."""

    whole: Span
    solid: Span
    start: End
    end: End


def bar_shape(start: Date, end: Date, scale: Scale) -> BarShape:
    """The bar from `start` to `end`; a century as start is a zone of a hundred years."""
    left, right = scale.x_mm(start.earliest), scale.x_mm(end.latest)
    if right - left < _LEAST_BAR_MM:
        middle = min(
            max((left + right) / 2, scale.left_mm + _LEAST_BAR_MM / 2),
            scale.left_mm + scale.width_mm - _LEAST_BAR_MM / 2,
        )
        left, right = middle - _LEAST_BAR_MM / 2, middle + _LEAST_BAR_MM / 2
    else:
        left, right = left + _HAIRLINE_MM, right - _HAIRLINE_MM
    first, last = end_of(start), end_of(end)
    zones = [
        0.0 if one.is_firm else max(known_mm, min(_END_ZONE_MM, _END_ZONE_SHARE * (right - left)))
        for one, known_mm in (
            (first, scale.x_mm(start.latest) - scale.x_mm(start.earliest)),
            (last, scale.x_mm(end.latest) - scale.x_mm(end.earliest)),
        )
    ]
    shrink = min(1.0, (right - left) / sum(zones)) if sum(zones) else 1.0
    solid = Span(left + zones[0] * shrink, right - zones[1] * shrink)
    return BarShape(Span(left, right), solid, first, last)


def bar_colors(style: Style, *, highlighted: bool) -> tuple[str, str, str]:
    """Fill, edge and text of a bar."""
    colors = style.colors
    if not highlighted:
        return mix(colors.ground, colors.ink, QUIET_SHARE), colors.quiet, colors.ink
    text = max((colors.ground, colors.ink), key=lambda color: contrast_ratio(color, colors.accent))
    return colors.accent, colors.accent, text


def draw_bar(
    bar: BarShape, top_mm: float, height_mm: float, style: Style, *, highlighted: bool
) -> tuple[Shape, ...]:
    """Fill and outline, back to front."""
    fill, edge, _ = bar_colors(style, highlighted=highlighted)
    rows = (top_mm, height_mm)
    under = min(_SEAM_MM, bar.solid.width_mm)
    shapes: list[Shape] = []
    for end, outer, inner, beneath in (
        (bar.start, bar.whole.left_mm, bar.solid.left_mm, bar.solid.left_mm + under),
        (bar.end, bar.whole.right_mm, bar.solid.right_mm, bar.solid.right_mm - under),
    ):
        if end.approximate:
            shapes += _fade(outer, beneath, rows, (style.colors.ground, fill))
        if end.uncertain:
            shapes.append(_dashed_end(outer, inner, rows, edge))
    if bar.solid.right_mm - bar.solid.left_mm > 1e-6:
        box = Box(bar.solid.left_mm, top_mm, bar.solid.right_mm - bar.solid.left_mm, height_mm)
        shapes.append(Rect(box, fill=fill))
        shapes += _outline(bar, box, Stroke(edge, _EDGE_PT))
    return tuple(shapes)


def _fade(
    outer: float, inner: float, rows: tuple[float, float], colors: tuple[str, str]
) -> list[Shape]:
    """Steps from the ground's colour to the fill, each reaching under the solid part, so that no
    seam shows between them."""
    top, height = rows
    steps: list[Shape] = []
    for step in range(_FADE_STEPS):
        start = outer + (inner - outer) * step / _FADE_STEPS
        box = Box(min(start, inner), top, abs(inner - start), height)
        steps.append(Rect(box, fill=mix(*colors, (step + 0.5) / _FADE_STEPS)))
    return steps


def _dashed_end(outer: float, inner: float, rows: tuple[float, float], edge: str) -> Polyline:
    top, height = rows
    points = ((inner, top), (outer, top), (outer, top + height), (inner, top + height))
    return Polyline(points, stroke=Stroke(edge, _EDGE_PT, "dash"))


def _outline(bar: BarShape, box: Box, stroke: Stroke) -> list[Shape]:
    """Around the solid part, open towards an end that is not firm."""
    left, right, top, bottom = box.left_mm, box.right_mm, box.top_mm, box.bottom_mm
    if bar.start.is_firm and bar.end.is_firm:
        corners: tuple[Point, ...] = ((left, top), (right, top), (right, bottom), (left, bottom))
        return [Polyline(corners, closed=True, stroke=stroke)]
    if bar.start.is_firm:
        return [
            Polyline(((right, top), (left, top), (left, bottom), (right, bottom)), stroke=stroke)
        ]
    if bar.end.is_firm:
        return [
            Polyline(((left, top), (right, top), (right, bottom), (left, bottom)), stroke=stroke)
        ]
    return [Polyline(((left, y), (right, y)), stroke=stroke) for y in (top, bottom)]


def marker_span(date: Date, scale: Scale) -> Span:
    """What the marker of an event takes of the axis."""
    first, last = scale.x_mm(date.earliest), scale.x_mm(date.latest)
    if date.earliest == date.latest:
        return Span(first - DOT_MM, last + DOT_MM)
    lacking = max(2 * DOT_MM - (last - first), 0.0)
    return Span(first - lacking / 2, last + lacking / 2)


def draw_marker(date: Date, span: Span, y_mm: float, style: Style, *, highlighted: bool) -> Shape:
    """A dot; an open ring for an approximate or uncertain moment; a bar for one within limits."""
    color = style.colors.accent if highlighted else style.colors.ink
    ground = style.colors.ground
    if date.earliest < date.latest:
        box = Box(span.left_mm, y_mm - SPAN_HALF_MM, span.right_mm - span.left_mm, 2 * SPAN_HALF_MM)
        return Rect(box, SPAN_HALF_MM, stroke=Stroke(ground, 1.0), fill=color)
    center = ((span.left_mm + span.right_mm) / 2, y_mm)
    if date.approximate or date.uncertain:
        radius = DOT_MM - 0.3
        return Ellipse(center, (radius, radius), stroke=Stroke(color, 2.0), fill=ground)
    return Ellipse(center, (DOT_MM, DOT_MM), stroke=Stroke(ground, 1.0), fill=color)
