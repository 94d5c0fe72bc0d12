"""What an author may write in a storyboard. Units are in the field names.

Coordinates come in two kinds. `..._mm` are patient millimetres (DICOM LPS+: x to the left, y to
the back, z to the head): two numbers on the axes of the region's view (axial x, y; coronal x, z;
sagittal y, z) or all three. `..._px` are pixels of an acquired slice, [column, row], and
(0, 0) is the centre of the first pixel.
"""

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from slidekit.evidence.dates import Date, parse_date

Name: TypeAlias = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
"""Names of scans, views, regions, periods and slides: lower case, digits, underscore."""

Millimetres: TypeAlias = Annotated[tuple[float, ...], Field(min_length=2, max_length=3)]
Pixels: TypeAlias = tuple[float, float]
Positive: TypeAlias = Annotated[float, Field(gt=0)]
Angle: TypeAlias = Annotated[float, Field(ge=-360, le=360)]


class Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")  # a misspelt field is an error


class Talk(Part):
    """Who speaks, where, and for how long."""

    title: str
    subtitle: str = ""
    speaker: str = ""
    occasion: str = ""
    slot_min: Positive = Field(description="Time given to the talk, minutes")
    words_per_min: Annotated[float, Field(ge=60, le=240)] = Field(
        default=120, description="Pace of the speaker; lecturers with slides: 100 to 150"
    )
    audience: Literal["general", "student", "specialist"] = "general"
    language: str = Field(default="en", description="BCP 47 tag of the words, as in en or en-GB")
    style: str = Field(default="lecture-dark", description="Name or path of a style file")


class Scan(Part):
    """A series of DICOM files."""

    folder: str | None = Field(default=None, description="Relative to the storyboard")
    demo: str | None = Field(default=None, description="A synthetic series that slidekit makes")
    series: str | None = Field(
        default=None, description="UID or description, when the folder holds several series"
    )
    credit: str = Field(description="Line printed with every picture of this scan")
    rights: str = Field(description="Rights or licence statement, or its URI")
    human_remains: bool = Field(
        default=False, description="The scan shows human remains: a notice slide is required"
    )

    @model_validator(mode="after")
    def _one_origin(self) -> "Scan":
        if (self.folder is None) == (self.demo is None):
            raise PydanticCustomError(
                "one_of", "needs `folder` or `demo`, and not both", {"instead": "Write one of them"}
            )
        return self


class Window(Part):
    """Which values become black and white (DICOM LINEAR, PS3.3 C.11.2.1.2.1)."""

    center: float
    width: Annotated[float, Field(ge=1)]


class View(Part):
    """One picture of a scan, defined once and shown on any number of slides."""

    scan: Name
    plane: Literal["acquired", "axial", "coronal", "sagittal"]
    at_mm: float | None = Field(
        default=None, description="Patient z (axial), y (coronal), x (sagittal); along the normal"
    )
    slice: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="For `acquired`: 1 is the lowest slice along the normal"
    )
    slab_mm: Annotated[float, Field(ge=0)] = 0.0
    slab: Literal["mean", "max", "min"] = "mean"
    window: str | Window = Field(description="A window name of the style, or center and width")
    crop_mm: tuple[Millimetres, Millimetres] | None = Field(
        default=None, description="Two opposite corners"
    )


class RegionBase(Part):
    view: Name = Field(description="The view on which the coordinates were read")
    color: str | None = Field(
        default=None, description="A mark of the style; without it the next free one"
    )
    called: str = Field(description="What the region is called aloud and in the key")


def _one_system(part: Any, *pairs: tuple[str, str]) -> None:
    """Each pair of fields (mm, px) must be given in the same one of the two systems."""
    given = [(getattr(part, mm) is not None, getattr(part, px) is not None) for mm, px in pairs]
    if all(given_pair == (True, False) for given_pair in given):
        return
    if all(given_pair == (False, True) for given_pair in given):
        return
    in_mm = ", ".join(mm for mm, _ in pairs)
    in_px = ", ".join(px for _, px in pairs)
    raise PydanticCustomError(
        "one_of",
        "the coordinates are incomplete or mix millimetres and pixels",
        {"instead": f"Write {in_mm} (patient millimetres) or {in_px} (pixels)"},
    )


class EllipseRegion(RegionBase):
    shape: Literal["ellipse"]
    center_mm: Millimetres | None = None
    radii_mm: tuple[Positive, Positive] | None = Field(
        default=None, description="Half widths across and down the picture before rotation"
    )
    center_px: Pixels | None = None
    radii_px: tuple[Positive, Positive] | None = None
    rotation_deg: Angle = Field(default=0, description="Clockwise as seen on the picture")

    @model_validator(mode="after")
    def _coordinates(self) -> "EllipseRegion":
        _one_system(self, ("center_mm", "center_px"), ("radii_mm", "radii_px"))
        return self


class RectangleRegion(RegionBase):
    shape: Literal["rectangle"]
    center_mm: Millimetres | None = None
    size_mm: tuple[Positive, Positive] | None = Field(
        default=None, description="Full width and height on the picture before rotation"
    )
    center_px: Pixels | None = None
    size_px: tuple[Positive, Positive] | None = None
    rotation_deg: Angle = Field(default=0, description="Clockwise as seen on the picture")

    @model_validator(mode="after")
    def _coordinates(self) -> "RectangleRegion":
        _one_system(self, ("center_mm", "center_px"), ("size_mm", "size_px"))
        return self


class PolygonRegion(RegionBase):
    shape: Literal["polygon"]
    points_mm: Annotated[tuple[Millimetres, ...], Field(min_length=3)] | None = None
    points_px: Annotated[tuple[Pixels, ...], Field(min_length=3)] | None = None

    @model_validator(mode="after")
    def _coordinates(self) -> "PolygonRegion":
        _one_system(self, ("points_mm", "points_px"))
        return self


class ArrowRegion(RegionBase):
    shape: Literal["arrow"]
    tail_mm: Millimetres | None = None
    tip_mm: Millimetres | None = Field(default=None, description="The place pointed at")
    tail_px: Pixels | None = None
    tip_px: Pixels | None = None

    @model_validator(mode="after")
    def _coordinates(self) -> "ArrowRegion":
        _one_system(self, ("tail_mm", "tail_px"), ("tip_mm", "tip_px"))
        return self


class LineRegion(RegionBase):
    """A distance: drawn with its ends and its length."""

    shape: Literal["line"]
    from_mm: Millimetres | None = None
    to_mm: Millimetres | None = None
    from_px: Pixels | None = None
    to_px: Pixels | None = None

    @model_validator(mode="after")
    def _coordinates(self) -> "LineRegion":
        _one_system(self, ("from_mm", "from_px"), ("to_mm", "to_px"))
        return self


class PointRegion(RegionBase):
    shape: Literal["point"]
    at_mm: Millimetres | None = None
    at_px: Pixels | None = None

    @model_validator(mode="after")
    def _coordinates(self) -> "PointRegion":
        _one_system(self, ("at_mm", "at_px"))
        return self


Region: TypeAlias = Annotated[
    EllipseRegion | RectangleRegion | PolygonRegion | ArrowRegion | LineRegion | PointRegion,
    Field(discriminator="shape"),
]

AuthorDate: TypeAlias = Annotated[
    Date,
    BeforeValidator(parse_date),
    # what the JSON Schema shows to an editor
    Field(json_schema_extra={"type": "string"}),
]


class Period(Part):
    """A span of years, drawn as a bar."""

    label: str
    start: AuthorDate = Field(description='As in "1300 BCE", "c. 950 BCE", "79 CE", EDTF "-1299~"')
    end: AuthorDate
    lane: Annotated[int, Field(ge=1)] = Field(default=1, description="Row of the timeline")


class Event(Part):
    """A moment, or a moment known only as a span of years, drawn as a marker."""

    label: str
    at: AuthorDate | None = None
    earliest: AuthorDate | None = None
    latest: AuthorDate | None = None

    @model_validator(mode="after")
    def _one_way(self) -> "Event":
        span = (self.earliest is not None, self.latest is not None)
        if (self.at is not None, *span) not in {(True, False, False), (False, True, True)}:
            raise PydanticCustomError(
                "one_of",
                "needs either `at`, or both `earliest` and `latest`",
                {"instead": "Write one of the two forms"},
            )
        return self


class Chronology(Part):
    era: Literal["BCE/CE", "BC/AD"] = "BCE/CE"
    periods: dict[Name, Period]
    events: dict[Name, Event] = {}


class Finding(Part):
    """A conclusion and what it rests on."""

    statement: str
    certainty: Literal["observed", "almost certain", "probable", "possible", "cannot be shown"]
    evidence: Annotated[tuple[Name, ...], Field(min_length=1)] = Field(
        description="Names of regions, periods or events that a slide shows"
    )
    against: str = Field(default="", description="What speaks against it, if anything")


class SlideBase(Part):
    id: Name
    title: str
    section: str = Field(default="", description="Starts a section of the deck")
    say: str = Field(
        default="",
        description="The words spoken; [show NAME] is a click, {NAME.mark} speaks a mark",
    )


class TitleSlide(SlideBase):
    """The opening: talk title, subtitle, speaker and occasion. `title` defaults to the talk's."""

    kind: Literal["title"]
    title: str = ""


class TextSlide(SlideBase):
    kind: Literal["text"]
    points: Annotated[tuple[str, ...], Field(min_length=1, max_length=6)]


class QuoteSlide(SlideBase):
    kind: Literal["quote"]
    quote: str
    source: str


class ShownView(Part):
    view: Name
    regions: tuple[Name, ...] = ()
    caption: str = ""


class ScanSlide(SlideBase):
    kind: Literal["scan"]
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)]


class TimelineSlide(SlideBase):
    kind: Literal["timeline"]
    highlight: tuple[Name, ...] = Field(default=(), description="Periods that matter here")


class FindingsSlide(SlideBase):
    kind: Literal["findings"]
    findings: Annotated[tuple[Name, ...], Field(min_length=1, max_length=6)]


class CreditsSlide(SlideBase):
    """Scan credits and rights come by themselves; `points` adds thanks and sources."""

    kind: Literal["credits"]
    points: tuple[str, ...] = ()


class NoticeSlide(SlideBase):
    """A word to the audience before what may disturb: human remains, for instance."""

    kind: Literal["notice"]
    points: Annotated[tuple[str, ...], Field(min_length=1, max_length=4)]


class BorrowedSlide(Part):
    """A slide of another storyboard, with all it rests on."""

    kind: Literal["borrowed"]
    origin: Name = Field(description="A name from `borrow`")
    slide: Name = Field(description="The slide's id in its origin; also its id here")
    title: str | None = None
    section: str | None = None
    say: str | None = None
    captions: dict[Name, str] = Field(default={}, description="View name: caption")


OwnSlide: TypeAlias = (
    TitleSlide
    | TextSlide
    | QuoteSlide
    | ScanSlide
    | TimelineSlide
    | FindingsSlide
    | CreditsSlide
    | NoticeSlide
)
Slide: TypeAlias = Annotated[OwnSlide | BorrowedSlide, Field(discriminator="kind")]


class Panel(Part):
    """A printed exhibit panel."""

    size_mm: tuple[
        Annotated[float, Field(ge=100, le=1400)], Annotated[float, Field(ge=100, le=1400)]
    ] = Field(description="Width and height of the trimmed panel")
    headline: str
    body: Annotated[tuple[str, ...], Field(min_length=1)] = Field(description="Paragraphs")
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)]
    png_dpi: Annotated[float, Field(ge=30, le=600)] = 150


class Storyboard(Part):
    """A whole talk, and the panels that share its evidence."""

    talk: Talk
    borrow: dict[Name, str] = Field(default={}, description="Name: path of another storyboard")
    scans: dict[Name, Scan] = {}
    views: dict[Name, View] = {}
    regions: dict[Name, Region] = {}
    chronology: Chronology | None = None
    findings: dict[Name, Finding] = {}
    slides: Annotated[tuple[Slide, ...], Field(min_length=1)]
    panels: dict[Name, Panel] = {}
