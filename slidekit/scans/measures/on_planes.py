"""What can be measured on a plane: values within an outline, lengths, angles, profiles.

Everything is read from the plane's own samples, before any window and any scaling. A sample
belongs to an outline when its centre lies inside; padding and what lies outside the scan never
enters a number. What speaks against a number comes with it, as data.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import acos, atan, ceil, degrees, floor, hypot, sqrt
from typing import Literal, TypeAlias

import numpy as np

from slidekit.scans.geometry import Array, normal, pixel_from_lps
from slidekit.scans.measures.distributions import Distribution, distribution_of
from slidekit.scans.measures.outlines import Contour, distances_to_outline, on_image, outline_mask
from slidekit.scans.measures.regions import Mask, distance_mm
from slidekit.scans.measures.scale_ends import Ends, at_ends
from slidekit.scans.model import Grid, Outline, PlaneImage, SlabMode, Vector
from slidekit.scans.planes.cropping import Window, crop_grid
from slidekit.wording import phrase_key

FEW_SAMPLES = 30  # below, the area of the samples differs by 3 to 4 % rms from the outline's
LEAST_FOR_SD = 9  # below, a standard deviation says nothing
THIN_PIXELS = 2.0  # a strip thinner than this has no sample that is not partly something else
EDGE_SHARE = 0.4  # of samples half a pixel from the outline: more, and the mean is of the edge

EXTREMES = {
    "max": phrase_key("its values are the greatest through {mm} mm, not what is there"),
    "min": phrase_key("its values are the least through {mm} mm, not what is there"),
}
"""What is said of a slab that keeps the greatest or the least value along each line."""

CautionKind: TypeAlias = Literal[
    "empty",
    "no_sd",
    "few",
    "thin",
    "edge",
    "clipped",
    "padding",
    "cut_off",
    "extremes",
    "resampled",
]


@dataclass(frozen=True)
class Caution:
    """What speaks against a number: a clause that can be read aloud, in English with braces for
    what stands in it, so that it can be said in other languages too."""

    kind: CautionKind
    clause: str
    values: tuple[tuple[str, str], ...] = ()  # what stands in the braces, as English writes it
    within: str = ""  # what the region is called, where cautions of several stand together

    @property
    def text(self) -> str:
        """The clause in English."""
        clause = self.clause.format(**dict(self.values))
        return f"{clause}, in {self.within}" if self.within else clause


def caution(kind: CautionKind, clause: str, /, **values: object) -> Caution:
    """A caution with values in the braces of its clause."""
    return Caution(kind, clause, tuple((name, str(value)) for name, value in values.items()))


@dataclass(frozen=True)
class Statistics:
    """Of the samples inside an outline, in the unit of the scan."""

    n: int
    mean: float
    sd: float | None  # n - 1 in the denominator; None below `LEAST_FOR_SD` samples
    median: float
    p5: float  # percentiles by linear interpolation (Hyndman and Fan 1996, type 7)
    p95: float
    least: float
    greatest: float

    @property
    def mean_error(self) -> float:
        """Standard error of the mean; 0 when there is no SD."""
        return (self.sd or 0.0) / sqrt(self.n)


@dataclass(frozen=True)
class AreaMeasure:
    """A closed region on its own view."""

    statistics: Statistics | None  # None: no sample lies inside
    unit: str  # "HU" only where the values are; "" when unknown
    area_mm2: float
    perimeter_mm: float
    feret_mm: tuple[float, float]  # greatest, least
    pixel_mm: float  # sample distance of the scan, geometric mean of across and down
    edge_share: float  # of the samples inside, those within half a pixel of the outline
    absent: int  # samples inside that are padding or outside the scan
    clipped: int  # samples inside at an end of the scale
    slab_mm: float
    slab: SlabMode
    resampled: bool = False  # oblique and curved planes lie between the samples of the scan
    laid_flat: bool = False  # on a curved surface: its sizes are not those of the body
    cautions: tuple[Caution, ...] = ()
    clipped_at_top: int = 0  # those of `clipped` above 0: what lies below comes of the lower end
    distribution: Distribution | None = None  # None: no sample lies inside


@dataclass(frozen=True)
class LineMeasure:
    """A distance; each end is read to about half a pixel, so the whole to one."""

    length_mm: float
    error_mm: float  # plus or minus: one pixel along the line


@dataclass(frozen=True)
class AngleMeasure:
    """An angle in the patient's millimetres, 0 to 180 degrees."""

    angle_deg: float
    error_deg: float  # plus or minus: one pixel across the end of each arm


@dataclass(frozen=True)
class Profile:
    """Values along a line from its first end, linear between samples."""

    step_mm: float
    values: tuple[float | None, ...]  # None on padding and outside the scan
    unit: str


Measure: TypeAlias = AreaMeasure | LineMeasure | AngleMeasure


def measure_area(image: PlaneImage, outline: Outline, ends: Ends | None = None) -> AreaMeasure:
    """Everything about a closed region on the plane it was drawn on.

    Parameters
    ----------
    image
        The samples of the region's own view.
    outline
        Its foot on the plane counts for the samples; sizes are its own, on a curved plane those
        of the surface laid flat.
    ends
        Of the scale of values, from `scale_ends`; None: unknown.
    """
    contour = Contour(outline.kind, on_image(image, outline.points_lps))
    window = _window_around(contour, image.grid)
    grid, absent = crop_grid(image.grid, window), image.absent[window]
    inside = outline_mask(grid, contour)
    known, samples = inside & ~absent, image.values[window]
    values = samples[known].astype(np.float64)
    at_end = _at_ends(image, window, known, ends)
    edge_share, thin = _edges(contour, grid, inside)
    measure = AreaMeasure(
        statistics=statistics_of(values),
        unit=image.unit,
        area_mm2=contour.area_mm2,
        perimeter_mm=contour.perimeter_mm,
        feret_mm=contour.feret_mm,
        pixel_mm=sqrt(image.native_mm[0] * image.native_mm[1]),
        edge_share=edge_share,
        absent=int((inside & absent).sum()),
        clipped=int(at_end.sum()),
        slab_mm=image.slab_mm,
        slab=image.slab,
        resampled=image.plane in ("oblique", "curved"),
        laid_flat=image.flattening is not None,
        clipped_at_top=int((samples[at_end] > 0).sum()),
        distribution=distribution_of(samples, known),
    )
    cut_off = _is_cut_off(contour, image.grid)
    return replace(measure, cautions=tuple(_cautions(measure, thin=thin, cut_off=cut_off)))


def _window_around(contour: Contour, grid: Grid) -> Window:
    """Rows and columns of the samples that an outline can hold, and one more all round."""
    corners = contour.corners_xy(grid)
    first, last = np.floor(corners.min(axis=0)) - 1, np.ceil(corners.max(axis=0)) + 2
    columns, rows = (
        slice(int(np.clip(low, 0, count)), int(np.clip(high, 0, count)))
        for low, high, count in zip(first, last, (grid.columns, grid.rows), strict=True)
    )
    return rows, columns


def statistics_of(values: Array) -> Statistics | None:
    """Of any number of values; None of no value."""
    if not values.size:
        return None
    p5, median, p95 = np.percentile(values, (5, 50, 95))
    return Statistics(
        n=int(values.size),
        mean=float(values.mean()),
        sd=float(values.std(ddof=1)) if values.size >= LEAST_FOR_SD else None,
        median=float(median),
        p5=float(p5),
        p95=float(p95),
        least=float(values.min()),
        greatest=float(values.max()),
    )


def _at_ends(image: PlaneImage, window: Window, inside: Mask, ends: Ends | None) -> Mask:
    """Samples inside at an end of the scale; of an interpolated plane, those that a voxel at an
    end has gone into."""
    if image.at_end is not None:
        return image.at_end[window] & inside
    at_end = np.zeros_like(inside)
    found = at_ends(image.values[window][inside], image.unit, ends)
    if found is not None:
        at_end[inside] = found
    return at_end


def _edges(outline: Contour, grid: Grid, inside: Mask) -> tuple[float, bool]:
    """Share of the samples inside that lie within half a pixel of the outline, and whether no
    place inside is a pixel away from it. Distances are in pixels."""
    if not inside.any():
        return 0.0, True
    corners = outline.corners_xy(grid)
    rows, columns = np.nonzero(inside & ~_core(inside))
    places = np.stack((columns, rows), axis=1).astype(np.float64)
    away = distances_to_outline(corners, places)
    share = float((away <= 0.5).sum() / inside.sum())
    if _core(inside).any() or away.max() >= THIN_PIXELS / 2:
        return share, False
    offsets = np.stack(np.meshgrid(*[np.linspace(-0.5, 0.5, 11)] * 2), axis=-1).reshape(-1, 2)
    near = places[away >= away.max() - 0.75]
    finer = (near[:, None] + offsets).reshape(-1, 2)
    finer = finer[outline.holds(grid, finer)]
    return share, bool(distances_to_outline(corners, finer).max() < THIN_PIXELS / 2 - 1e-9)


def _core(inside: Mask) -> Mask:
    """Samples of a mask that are two or more samples away from its end."""
    core = inside
    for _ in range(2):
        padded = np.pad(core, 1)
        core = core.copy()
        for i in range(3):
            for j in range(3):
                core &= padded[i : i + core.shape[0], j : j + core.shape[1]]
    return core


def _is_cut_off(outline: Contour, grid: Grid) -> bool:
    corners = outline.corners_xy(grid)
    size = np.array((grid.columns, grid.rows))
    return bool((corners < -0.5 - 1e-6).any() or (corners > size - 0.5 + 1e-6).any())


def _cautions(measure: AreaMeasure, *, thin: bool, cut_off: bool) -> Iterator[Caution]:
    statistics = measure.statistics
    if statistics is None:
        yield caution("empty", phrase_key("no sample of the scan lies in it"))
        return
    if statistics.n == 1:
        yield caution("few", phrase_key("only one sample lies in it"))
    elif statistics.n < FEW_SAMPLES:
        yield caution("few", phrase_key("only {n} samples lie in it"), n=statistics.n)
    if statistics.sd is None:
        clause = phrase_key("fewer than {n} samples give no standard deviation")
        yield caution("no_sd", clause, n=LEAST_FOR_SD)
    if thin:
        yield caution("thin", phrase_key("it is thinner than two pixels"))
    elif measure.edge_share > EDGE_SHARE:
        clause = phrase_key("{percent}% of its samples lie on its edge")
        yield caution("edge", clause, percent=f"{100 * measure.edge_share:.0f}")
    if measure.clipped:
        yield _clipped(measure.clipped, statistics.n)
    yield from _cautions_about_place(measure, cut_off=cut_off)


def _clipped(clipped: int, n: int) -> Caution:
    if clipped == 1:
        clause = phrase_key("one of its samples holds values at the end of the scale")
    elif clipped / n > 0.01:
        clause = phrase_key("{percent}% of its samples hold values at the end of the scale")
    else:
        clause = phrase_key("some of its samples hold values at the end of the scale")
    return caution("clipped", clause, percent=f"{100 * clipped / n:.0f}")


def _cautions_about_place(measure: AreaMeasure, *, cut_off: bool) -> Iterator[Caution]:
    if measure.absent == 1:
        yield caution("padding", phrase_key("one of its samples is padding and left out"))
    elif measure.absent:
        clause = phrase_key("{n} of its samples are padding and left out")
        yield caution("padding", clause, n=measure.absent)
    if cut_off:
        yield caution("cut_off", phrase_key("it reaches beyond the edge of its view"))
    if measure.slab_mm > 0 and measure.slab != "mean":
        clause = EXTREMES[measure.slab]
        yield caution("extremes", clause, mm=f"{measure.slab_mm:g}")
    if measure.resampled:
        clause = phrase_key("its samples are interpolated between those of the scan")
        yield caution("resampled", clause)


def measure_line(
    ends_lps: Sequence[Vector], grid: Grid, native_mm: tuple[float, float]
) -> LineMeasure:
    """The distance of two places, and one pixel along it.

    `grid` gives the directions of the view on which they were read, `native_mm` the sample
    distance of the scan across and down it.
    """
    first, last = ends_lps
    along = np.subtract(last, first)
    return LineMeasure(distance_mm(first, last), pixel_along_mm(along, grid, native_mm))


def pixel_along_mm(direction: Array, grid: Grid, native_mm: tuple[float, float]) -> float:
    """One pixel in a direction: the sample distance along rows, along columns, or between."""
    unit = direction / (np.linalg.norm(direction) or 1.0)
    across, down = float(unit @ grid.right_lps), float(unit @ grid.down_lps)
    off = float(unit @ normal(grid)) * max(native_mm)
    return hypot(across * native_mm[0], down * native_mm[1], off) or max(native_mm)


def measure_angle(
    points_lps: Sequence[Vector], grid: Grid, native_mm: tuple[float, float]
) -> AngleMeasure:
    """The angle at the second of three points, in millimetre space."""
    first, vertex, last = map(np.asarray, points_lps)
    arms = [first - vertex, last - vertex]
    lengths = [float(np.linalg.norm(arm)) for arm in arms]
    cosine = float(arms[0] @ arms[1]) / (lengths[0] * lengths[1])
    errors = []
    for arm, length in zip(arms, lengths, strict=True):
        sideways = np.cross(normal(grid), arm)
        errors.append(degrees(atan(pixel_along_mm(sideways, grid, native_mm) / length)))
    return AngleMeasure(degrees(acos(min(1.0, max(-1.0, cosine)))), hypot(*errors))


def sample_profile(image: PlaneImage, ends_lps: Sequence[Vector]) -> Profile:
    """Values along a line, from its first end on, one sample distance of the scan apart.

    Bilinear between the four samples around each place; None where one of them that counts is
    padding or outside the scan.
    """
    ends_lps = on_image(image, ends_lps)
    ends_xy, _ = pixel_from_lps(image.grid, np.array(ends_lps))
    length = distance_mm(*ends_lps)
    step = pixel_along_mm(np.subtract(ends_lps[1], ends_lps[0]), image.grid, image.native_mm)
    shares = np.arange(floor(length / step + 1e-9) + 1) * step / (length or 1.0)
    places = ends_xy[0] + shares[:, None] * (ends_xy[1] - ends_xy[0])
    return Profile(step, tuple(_value_at(image, x, y) for x, y in places.tolist()), image.unit)


def _value_at(image: PlaneImage, x: float, y: float) -> float | None:
    rows, columns = image.values.shape
    x, y = (round(v) if abs(v - round(v)) < 1e-6 else v for v in (x, y))
    total = 0.0
    for i in {floor(y), ceil(y)}:
        for j in {floor(x), ceil(x)}:
            if not (0 <= i < rows and 0 <= j < columns) or image.absent[i, j]:
                return None
            total += float(image.values[i, j] * (1 - abs(y - i)) * (1 - abs(x - j)))
    return total
