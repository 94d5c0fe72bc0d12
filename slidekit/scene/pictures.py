"""Scan pictures on a page: what must stand on each of them, and what is said under it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from slidekit.evidence.certainty import Rung
from slidekit.scans.enlarging import Enlarged
from slidekit.scans.measures import Measure, Profile
from slidekit.scans.model import ScanPicture
from slidekit.scans.movies import Movie
from slidekit.scans.volumes import VolumeMeasure
from slidekit.scene.figures import Figure, page_points
from slidekit.scene.halves import compose_halves
from slidekit.scene.letters import Crowd, ShownMark, clearest, extent_of
from slidekit.scene.marks import compose_marks
from slidekit.scene.model import (
    Box,
    Group,
    Item,
    Picture,
    Rect,
    Stroke,
    Text,
)
from slidekit.scene.readings import Answer, PlacedContrast
from slidekit.scene.scale_bar import (
    BAR_FOOT_MM,
    EDGE_MM,
    bar_in_words,
    bar_length_mm,
    extent_of_bar,
    plate,
    scale_bar,
)
from slidekit.scene.style import Mark, Style
from slidekit.scene.text import line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.scene.whereabouts import place_in_words, slab_in_words
from slidekit.scene.windowing import UsedWindow, windows_in_words
from slidekit.storyboard.views import ShownView, View
from slidekit.wording import figures, phrase, sides

SIDE_SHIFTS = (0, 0.04, -0.04, 0.08, -0.08, 0.12, -0.12, 0.16, -0.16)  # short of the scale bar
EDGE_PT = 0.75  # a hairline around the picture: a white scan must not melt into a white page
INCH_MM = 25.4
ALONE = Crowd((), ())


@dataclass(frozen=True)
class Sight:
    """A view made visible: its picture, and whose it is."""

    name: str
    view: View
    picture: ScanPicture
    windows: tuple[UsedWindow, ...]  # one, or those of the left and the right half
    credit: str
    rights: str
    human_remains: bool

    @property
    def aspect(self) -> float:
        """Width over height."""
        return self.picture.grid.columns / self.picture.grid.rows


@dataclass(frozen=True)
class PlacedRegion:
    """A region of the storyboard in patient space, with the look it has everywhere."""

    name: str
    called: str
    spoken: str  # "orange ellipse"
    mark: Mark
    figure: Figure
    note: str  # the length of a line, the degrees of an angle, "" otherwise
    spoken_itself: str = ""  # with its article: "the orange ellipse"
    measure: Measure | None = None  # None: nothing to measure, or not on this kind of picture
    profile: Profile | None = None  # the values along a line, where a page plots them
    certainty: Rung = "observed"  # of its being what it is called


@dataclass(frozen=True)
class PlacedVolume:
    """A volume of the storyboard, measured."""

    name: str
    called: str
    measure: VolumeMeasure


@dataclass(frozen=True)
class Fineness:
    """How one picture is shown where it is largest."""

    width_mm: float  # on the page
    factor: int  # pixels to a sample of the scan, along each side
    sample_mm: float  # on the page, from one sample of the scan to the next, where they lie farther

    @property
    def samples_per_inch(self) -> float:
        return INCH_MM / self.sample_mm


@dataclass(frozen=True)
class Sights:
    """Everything that slides and panels show of the scans."""

    views: Mapping[str, Sight]
    regions: Mapping[str, PlacedRegion]
    volumes: Mapping[str, PlacedVolume] = field(default_factory=dict)
    fineness: Mapping[str, Fineness] = field(default_factory=dict)  # by view, once laid out
    enlarged: Mapping[str, Enlarged] = field(default_factory=dict)  # likewise, as shown
    renewed: tuple[str, ...] = ()  # views of which a picture was kept that files speak against
    movies: Mapping[str, Movie] = field(default_factory=dict)  # by name, see `moving_name`
    questions: Mapping[str, Answer] = field(default_factory=dict)
    contrasts: Mapping[str, PlacedContrast] = field(default_factory=dict)

    @property
    def readings(self) -> Mapping[str, Answer | PlacedContrast]:
        """What is made of measured values, by name."""
        return {**self.questions, **self.contrasts}


@dataclass(frozen=True)
class Cast:
    """Which regions a page shows: their letters, and the click at which each appears."""

    letters: Mapping[str, str]
    steps: Mapping[str, int]


@dataclass(frozen=True)
class Heed:
    """What a picture must heed besides its own marks."""

    taken: tuple[Box, ...] = ()  # on the page: what nothing may cover
    bar_mm: float | None = None  # length of the scale bar, when several pictures share one


def data_line(sight: Sight) -> str:
    """Plane, position, slab and window: what another reader needs to find the same picture."""
    picture = sight.picture
    if picture.plane == "picture":
        return _plain_data_line(sight)
    parts = [place_in_words(picture)]
    if picture.slab_mm > 0:
        parts.append(slab_in_words(picture))
    return " · ".join([*parts, *_look_in_words(sight)])


def _plain_data_line(sight: Sight) -> str:
    """What is known of a picture without a place in the patient: above all, of its scale."""
    picture = sight.picture
    parts = [phrase("picture")]
    if picture.slice_number is not None:
        parts = [phrase("picture {number}", number=picture.slice_number)]
    parts += _look_in_words(sight)
    if picture.grid.space == "pixels":
        parts.append(phrase("no scale"))
    else:
        size = figures(f"{picture.native_mm[0]:g}")
        parts.append(phrase("{mm} mm per pixel, as stated", mm=size))
    return " · ".join(parts)


def _look_in_words(sight: Sight) -> list[str]:
    parts = []
    if sight.windows:
        windows = windows_in_words(sight.windows, sight.picture.unit)
        parts.append(phrase("window {window}", window=windows))
    if sight.view.overlays:
        parts.append(phrase("overlay of the file"))
    return parts


def compose_sight(
    sight: Sight,
    regions: Sequence[PlacedRegion],
    box: Box,
    cast: Cast,
    style: Style,
    heed: Heed = Heed(),
) -> tuple[Item, ...]:
    """The picture in `box`, with scale bar, letters of the sides, and its marks.

    ScanError if a region cannot be shown on this view.
    """
    picture = sight.picture
    marks = [shown_mark(region, picture, box, cast) for region in regions]
    halves = _halves(sight, box, style, heed)
    heed = replace(heed, taken=(*heed.taken, *_plates(halves)))
    furniture = _furniture(sight, box, marks, style, heed)
    taken = [*_plates((furniture,)), *heed.taken]
    alt = f"{data_line(sight)}. {sides_in_words(picture)}".rstrip()
    return (
        Picture(box, picture.pixels, alt, sight.name),
        *halves,
        furniture,
        *compose_marks(marks, box, taken, style),
    )


def _halves(sight: Sight, box: Box, style: Style, heed: Heed) -> tuple[Group, ...]:
    seam = sight.picture.seam_column
    if seam is None:
        return ()
    share = seam / sight.picture.grid.columns
    return (compose_halves(sight.windows, share, box, heed.taken, style),)


def _plates(groups: Sequence[Group]) -> tuple[Box, ...]:
    """Where the texts of these groups stand."""
    return tuple(item.box for group in groups for item in group.items if isinstance(item, Text))


def _furniture(
    sight: Sight, box: Box, marks: Sequence[ShownMark], style: Style, heed: Heed
) -> Group:
    """The edge; scale bar and letters of the sides, as far as the picture has a scale and sides."""
    picture = sight.picture
    edge = Rect(box, stroke=Stroke(style.colors.plate, EDGE_PT))
    if picture.grid.space == "pixels":
        alt = phrase("Edge of the picture, which has no scale")
        return Group(f"Edge of {sight.name}", alt, (edge,))
    bar_mm = heed.bar_mm or bar_length_mm(picture)
    bar = scale_bar(bar_mm, (picture, box), [*map(extent_of, marks), *heed.taken], style)
    name = "Scale and sides" if picture.letters else "Scale"
    alt = phrase("Scale bar {length}.", length=bar_in_words(picture, bar_mm))
    alt = f"{alt} {sides_in_words(picture)}".rstrip()
    crowd = Crowd((*heed.taken, extent_of_bar(bar)), tuple(marks))
    items = (edge, *bar, *side_letters(picture, box, style.sizes["data"].pt, style, crowd))
    return Group(f"{name} of {sight.name}", alt, items)


def shown_mark(region: PlacedRegion, picture: ScanPicture, box: Box, cast: Cast) -> ShownMark:
    """The region on `picture` drawn in `box`; ScanError if it cannot be shown there."""
    return ShownMark(
        region.name,
        cast.letters[region.name],
        region.called,
        region.spoken,
        region.mark,
        region.figure.kind,
        page_points(region.figure, picture, box),
        region.note,
        cast.steps.get(region.name, 0),
    )


def sides_in_words(picture: ScanPicture) -> str:
    """Which side of the patient each edge of the picture is, for those who cannot see it; "" for a
    plain picture."""
    if picture.letters is None:
        return ""
    edges = phrase("left edge"), phrase("right edge"), phrase("top"), phrase("bottom")
    letters = [picture.letters[k] for k in (0, 2, 1, 3)]
    named = [f"{edge} {sides(one)}" for edge, one in zip(edges, letters, strict=True) if one]
    words = ", ".join(named)
    if "" in letters:
        words = phrase("{edges}; along its path no side holds throughout", edges=words)
    return f"{words[0].upper()}{words[1:]}."


def side_letters(
    picture: ScanPicture, box: Box, size: float, style: Style, crowd: Crowd = ALONE
) -> tuple[Text, ...]:
    """The letters of the four sides, `size` points high, each in the middle of its edge, or as
    near to it as the crowd leaves it clear."""
    height = line_mm(size) + 0.4
    placed: list[Text] = []
    for letters, edge in zip(
        picture.letters or (), ("left", "top", "right", "bottom"), strict=False
    ):
        if not letters:
            continue
        written = sides(letters)
        width = line_width_mm(written, size, bold=True) * 1.02 + 1.6
        spots = _along(edge, box, (width, height))
        if edge == "bottom":  # above a scale bar that leaves no room beside it
            spots += [s._replace(top_mm=s.top_mm - height - BAR_FOOT_MM) for s in spots]
        placed.append(plate(written, clearest(spots, crowd), size, style))
    return tuple(placed)


def _along(edge: str, box: Box, size_mm: tuple[float, float]) -> list[Box]:
    """Places for a plate along an edge of `box`, from its middle to both sides."""
    width, height = size_mm
    cx, cy = box.center_mm
    left = {"left": box.left_mm + EDGE_MM, "right": box.right_mm - EDGE_MM - width}
    top = {"top": box.top_mm + EDGE_MM, "bottom": box.bottom_mm - EDGE_MM - height}
    spots = []
    for shift in SIDE_SHIFTS:
        across = cx - width / 2 + shift * box.width_mm
        down = cy - height / 2 + shift * box.height_mm
        spots.append(Box(left.get(edge, across), top.get(edge, down), width, height))
    return spots


def letters_for(shown: Sequence[ShownView]) -> dict[str, str]:
    """A, B, C ... for the regions of a page, in the order in which the author lists them."""
    names = dict.fromkeys(name for view in shown for name in view.regions)
    return {name: chr(ord("A") + i) for i, name in enumerate(names)}
