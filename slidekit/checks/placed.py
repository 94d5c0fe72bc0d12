"""Where the marks of a slide lie on its page."""

from collections.abc import Iterator
from dataclasses import dataclass

from slidekit.checks.heard import Heard
from slidekit.scene.compose import Told
from slidekit.scene.model import Box, Picture, Point
from slidekit.scene.sights.figures import ellipse_axes, page_points
from slidekit.scene.sights.model import PlacedRegion, Sight
from slidekit.storyboard.slides import ScanSlide


@dataclass(frozen=True)
class PlacedMark:
    """A region as one picture shows it."""

    region: PlacedRegion
    sight: Sight
    picture: Box  # on the page
    points_mm: tuple[Point, ...]  # of its figure, on the page

    @property
    def at_mm(self) -> Point:
        """The place that it points to, on the page."""
        match self.region.figure.kind:
            case "arrow":
                return self.points_mm[-1]
            case "ellipse":
                return self.points_mm[0]
            case "angle":
                return self.points_mm[1]
        across, down = zip(*self.points_mm, strict=True)
        return (min(across) + max(across)) / 2, (min(down) + max(down)) / 2

    @property
    def across(self) -> float:
        """From 0 at the left edge of its picture to 1 at the right one."""
        return (self.at_mm[0] - self.picture.left_mm) / self.picture.width_mm

    @property
    def size_mm(self) -> tuple[float, float]:
        """The longer and the shorter extent of an ellipse or polygon on the page."""
        if self.region.figure.kind == "ellipse":
            _, (long, short), _ = ellipse_axes(self.points_mm)
            return 2 * long, 2 * short
        across, down = zip(*self.points_mm, strict=True)
        short, long = sorted((max(across) - min(across), max(down) - min(down)))
        return long, short


def placed_marks(heard: Heard, told: Told) -> Iterator[PlacedMark]:
    """Every region of a scan slide, once for each picture that shows it."""
    if not isinstance(told.slide, ScanSlide):
        return
    boxes = {item.name: item.box for item in told.page.items if isinstance(item, Picture)}
    for shown in told.slide.views:
        sight = heard.sights.views[shown.view]
        for name in shown.regions:  # none where the picture turns
            box = boxes[shown.view]
            region = heard.sights.regions[name]
            yield PlacedMark(region, sight, box, page_points(region.figure, sight.picture, box))
