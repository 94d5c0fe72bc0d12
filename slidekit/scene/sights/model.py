"""What a talk or a panel shows of its scans, as values: pictures, regions, volumes, readings."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from slidekit.evidence.certainty import Rung
from slidekit.scans.enlarging import Enlarged
from slidekit.scans.measures.on_planes import Measure, Profile
from slidekit.scans.measures.volumes import VolumeMeasure
from slidekit.scans.model import ScanPicture
from slidekit.scans.movies import Movie
from slidekit.scene.sights.figures import Figure
from slidekit.scene.sights.readings import Answer, PlacedContrast
from slidekit.scene.sights.windowing import UsedWindow
from slidekit.scene.style import Mark
from slidekit.storyboard.views import ShownView, View

INCH_MM = 25.4


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


def letters_for(shown: Sequence[ShownView]) -> dict[str, str]:
    """A, B, C ... for the regions of a page, in the order in which the author lists them."""
    names = dict.fromkeys(name for view in shown for name in view.regions)
    return {name: chr(ord("A") + i) for i, name in enumerate(names)}
