"""The shapes of a timeline: bars with firm, soft and open ends, and the markers of events.

An end that is only approximate fades out; an uncertain one has a dashed outline; one without a
known limit is pointed; a moment known only within limits is a bar on the axis. Shapes are plain,
so that a deck keeps them editable.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from slidekit.evidence.dates.years import Date
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
CASE_HALF_MM = 2.6  # the same of the case of the talk
_EDGE_PT = 1.25
OPEN_MM = 12.0  # drawn of a side on which no limit is known
_POINT_MM = 3.5  # length of the point in which such a side ends


@dataclass(frozen=True)
class End:
    """How one end of a bar is known."""

    approximate: bool
    uncertain: bool
    open: bool = False  # no limit is known on this side

    @property
    def is_firm(self) -> bool:
        return not (self.approximate or self.uncertain or self.open)


def end_of(date: Date, *, is_start: bool) -> End:
    """A decade or century is as soft as "c."."""
    edge = date.first if is_start else date.last
    soft = date.approximate or (edge is not None and not date.is_moment)
    return End(soft and edge is not None, date.uncertain, edge is None)


@dataclass(frozen=True)
class BarShape:
    """A bar along x: all of it, and the part between its two ends' zones of doubt."""

    whole: Span
    solid: Span
    start: End
    end: End


def bar_shape(start: Date, end: Date, scale: Scale) -> BarShape:
    """The bar from `start` to `end`; a century as start is a zone of a hundred years."""
    first, last = end_of(start, is_start=True), end_of(end, is_start=False)
    left, right = _reach_mm(start, end, scale)
    if right - left < _LEAST_BAR_MM:
        middle = min(
            max((left + right) / 2, scale.left_mm + _LEAST_BAR_MM / 2),
            scale.right_mm - _LEAST_BAR_MM / 2,
        )
        left, right = middle - _LEAST_BAR_MM / 2, middle + _LEAST_BAR_MM / 2
    else:
        left, right = left + _HAIRLINE_MM, right - _HAIRLINE_MM
    known = (_doubt_mm(start, scale), _doubt_mm(end, scale))
    zones = [_zone_mm(*pair, right - left) for pair in zip((first, last), known, strict=True)]
    shrink = min(1.0, (right - left) / sum(zones)) if sum(zones) else 1.0
    solid = Span(left + zones[0] * shrink, right - zones[1] * shrink)
    return BarShape(Span(left, right), solid, first, last)


def _zone_mm(end: End, known_mm: float, bar_mm: float) -> float:
    if end.open:
        return min(_POINT_MM, 0.45 * bar_mm)
    return 0.0 if end.is_firm else max(known_mm, min(_END_ZONE_MM, _END_ZONE_SHARE * bar_mm))


def _doubt_mm(date: Date, scale: Scale) -> float:
    """How long the span is within which an end lies."""
    if date.first is None or date.last is None:
        return 0.0
    return scale.x_mm(date.last) - scale.x_mm(date.first)


def _reach_mm(start: Date, end: Date, scale: Scale) -> tuple[float, float]:
    """From where to where a bar is drawn. One that goes on reaches the end of the axis; one whose
    limit is not known reaches a little beyond what is known."""
    edges = (start.first, start.last, end.first, end.last)
    known = [scale.x_mm(edge) for edge in edges if edge is not None]
    left, right = known[0], known[-1]
    if start.first is None:
        left = scale.left_mm if start.lasting else max(left - OPEN_MM, scale.left_mm)
    if end.last is None:
        right = scale.right_mm if end.lasting else min(right + OPEN_MM, scale.right_mm)
    return left, right


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
        if end.uncertain and not end.open:
            shapes.append(_dashed_end(outer, inner, rows, edge))
        if end.open:
            shapes += _point(outer, (inner, beneath), rows, (fill, edge))
    if bar.solid.right_mm - bar.solid.left_mm > 1e-6:
        box = Box(bar.solid.left_mm, top_mm, bar.solid.right_mm - bar.solid.left_mm, height_mm)
        shapes.append(Rect(box, fill=fill))
        shapes += _outline(bar, box, Stroke(edge, _EDGE_PT))
    return tuple(shapes)


def _point(
    outer: float,
    inner: tuple[float, float],  # where the solid part begins, and a little within it
    rows: tuple[float, float],
    colors: tuple[str, str],
) -> list[Shape]:
    """A point that says: it goes on, or no limit is known."""
    top, height = rows
    at, beneath = inner
    tip = (outer, top + height / 2)
    stroke = Stroke(colors[1], _EDGE_PT)
    return [
        Polyline(((beneath, top), tip, (beneath, top + height)), closed=True, fill=colors[0]),
        Polyline(((at, top), tip, (at, top + height)), stroke=stroke),
    ]


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
    left, right = _reach_mm(date, date, scale)
    if date.is_moment:
        return Span(left - DOT_MM, right + DOT_MM)
    lacking = max(2 * DOT_MM - (right - left), 0.0)
    return Span(left - lacking / 2, right + lacking / 2)


def draw_marker(
    date: Date, span: Span, y_mm: float, style: Style, *, highlighted: bool, is_case: bool = False
) -> Shape:
    """A dot; an open ring for an approximate or uncertain moment; a bar for one within limits."""
    color = style.colors.accent if highlighted else style.colors.ink
    ground = style.colors.ground
    half = CASE_HALF_MM if is_case else SPAN_HALF_MM
    if date.first is None or date.last is None:
        points = tuple(_pointed(span, y_mm, half, (date.first is None, date.last is None)))
        return Polyline(points, closed=True, stroke=Stroke(ground, 1.0), fill=color)
    if not date.is_moment:
        box = Box(span.left_mm, y_mm - half, span.right_mm - span.left_mm, 2 * half)
        return Rect(box, half, stroke=Stroke(ground, 1.0), fill=color)
    center = ((span.left_mm + span.right_mm) / 2, y_mm)
    radius = half if is_case else DOT_MM
    if date.approximate or date.uncertain:
        return Ellipse(center, (radius - 0.3,) * 2, stroke=Stroke(color, 2.0), fill=ground)
    return Ellipse(center, (radius, radius), stroke=Stroke(ground, 1.0), fill=color)


def _pointed(span: Span, y_mm: float, half_mm: float, opens: tuple[bool, bool]) -> Iterator[Point]:
    """The corners of a bar that is pointed at its open sides."""
    top, bottom = y_mm - half_mm, y_mm + half_mm
    tip = min(_POINT_MM, span.width_mm / 2)
    left, right = span.left_mm, span.right_mm
    yield from (
        ((left + tip, bottom), (left, y_mm), (left + tip, top))
        if opens[0]
        else (
            (left, bottom),
            (left, top),
        )
    )
    yield from (
        ((right - tip, top), (right, y_mm), (right - tip, bottom))
        if opens[1]
        else (
            (right, top),
            (right, bottom),
        )
    )
