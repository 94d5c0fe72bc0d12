"""A share on an axis from 0 to 100 %: a dot with its 95 % interval."""

from dataclasses import dataclass

from slidekit.scene.color import mix
from slidekit.scene.model import Ellipse, Polyline, Shape, Stroke
from slidekit.scene.series.rows import Row
from slidekit.scene.style import Style

DOT_MM = 2.7  # radius
RING_MM = 4.6  # around the dot of a row that has the case of the talk
CAP_MM = 2.2  # half the height of an interval's ends
QUIET_SHARE = 0.22  # of the text's colour in the lines of the grid


def grid_color(style: Style) -> str:
    """Of what stays behind the marks."""
    return mix(style.colors.ground, style.colors.ink, QUIET_SHARE)


@dataclass(frozen=True)
class Track:
    """The axis of one row or of several; `scale` makes all that is drawn on it smaller or larger
    than on a slide of rows alone."""

    left_mm: float
    width_mm: float
    style: Style
    scale: float = 1.0

    @property
    def height_mm(self) -> float:
        """Of the tallest thing on it, which is the ring."""
        return 2 * RING_MM * self.scale

    def x_mm(self, share: float) -> float:
        return self.left_mm + share * self.width_mm

    def marks(self, row: Row, y: float) -> tuple[Shape, ...]:
        """A faint line across, the interval with its ends, the dot, and the ring."""
        colors, scale = self.style.colors, self.scale
        low, high = (self.x_mm(end) for end in row.proportion.interval)
        x = self.x_mm(float(row.proportion.share))
        faint = Stroke(grid_color(self.style), 0.75 * scale, "dash")
        across = Polyline(((self.x_mm(0), y), (self.x_mm(1), y)), stroke=faint)
        interval = Stroke(colors.ink, 2.5 * scale)
        cap = CAP_MM * scale
        spans = [((low, y), (high, y))]
        spans += [((end, y - cap), (end, y + cap)) for end in (low, high)]
        edge = Stroke(colors.ground, scale)
        dot = Ellipse((x, y), (DOT_MM * scale,) * 2, stroke=edge, fill=colors.accent)
        ring = Ellipse((x, y), (RING_MM * scale,) * 2, stroke=Stroke(colors.accent, 2 * scale))
        lines = (Polyline(span, stroke=interval) for span in spans)
        return (across, *lines, dot, *((ring,) if row.case else ()))
