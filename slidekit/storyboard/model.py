"""What an author may write in a storyboard. Units are in the field names.

Coordinates come in two kinds. `..._mm` are patient millimetres (DICOM LPS+: x to the left, y to
the back, z to the head): two numbers on the axes of the region's view (axial x, y; coronal x, z;
sagittal y, z) or all three. `..._px` are pixels of an acquired slice, [column, row], and
(0, 0) is the centre of the first pixel.
"""

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError

from slidekit.evidence.dates import Date, parse_date

Name: TypeAlias = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
"""Names of scans, views, regions, periods and slides: lower case, digits, underscore."""

Line: TypeAlias = Annotated[str, Field(min_length=1)]
"""Words that may not be left out."""

Millimetres: TypeAlias = Annotated[
    tuple[float, ...], Field(min_length=2, max_length=3, examples=[[12.5, -40]])
]
Pixels: TypeAlias = Annotated[tuple[float, float], Field(examples=[[256, 256]])]
Corner: TypeAlias = Annotated[tuple[float, float], Field(examples=[[-60, -60]])]
Positive: TypeAlias = Annotated[float, Field(gt=0)]
Angle: TypeAlias = Annotated[float, Field(ge=-360, le=360)]


class Part(BaseModel):
    """Any part of a storyboard."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",  # a misspelt field is an error
        str_strip_whitespace=True,
        coerce_numbers_to_str=True,  # `title: 1300` is a title
        allow_inf_nan=False,
    )


def advised(wrong: str, instead: str) -> PydanticCustomError:
    """What a validator raises: what is wrong, and what to write instead; no full stops."""
    return PydanticCustomError("advised", "{wrong}", {"wrong": wrong, "instead": instead})


class Talk(Part):
    """Who speaks, where, and for how long."""

    title: Line = Field(examples=["What the urn holds"])
    subtitle: str = ""
    speaker: str = ""
    occasion: str = Field(default="", description="Where and when the talk is given")
    slot_min: Positive = Field(description="Time given to the talk, minutes", examples=[20])
    words_per_min: Annotated[float, Field(ge=60, le=240)] = Field(
        default=120, description="Pace of the speaker; lecturers with slides: 100 to 150"
    )
    audience: Literal["general", "student", "specialist"] = "general"
    language: Annotated[str, Field(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$")] = Field(
        default="en", description="BCP 47 tag of the words", examples=["en", "en-GB", "de"]
    )
    style: str = Field(default="lecture-dark", description="Name or path of a style file")


class Scan(Part):
    """A series of DICOM files."""

    folder: Line | None = Field(
        default=None,
        description="Folder of the DICOM files, relative to the storyboard",
        examples=["scans/urn"],
    )
    demo: str | None = Field(default=None, description="A synthetic series that slidekit makes")
    series: Line | None = Field(
        default=None, description="UID or description, when the folder holds several series"
    )
    credit: Line = Field(
        description="Line printed with every picture of this scan",
        examples=["Scan by the town museum, 2025"],
    )
    rights: Line = Field(
        description="Rights or licence statement, or its URI", examples=["CC BY 4.0"]
    )
    human_remains: bool = Field(
        default=False, description="The scan shows human remains: a notice slide is required"
    )

    @model_validator(mode="after")
    def _one_origin(self) -> "Scan":
        if (self.folder is None) == (self.demo is None):
            raise advised("needs `folder` or `demo`, and not both", "Write one of them")
        return self


class Window(Part):
    """Which values become black and white (DICOM LINEAR, PS3.3 C.11.2.1.2.1)."""

    center: float = Field(
        description="Window Center (0028,1050), modality units (HU for CT)", examples=[40]
    )
    width: float = Field(
        ge=1, description="Window Width (0028,1051), modality units", examples=[400]
    )


class View(Part):
    """One picture of a scan, defined once and shown on any number of slides."""

    scan: Name = Field(description="A name from `scans`", examples=["urn"])
    plane: Literal["acquired", "axial", "coronal", "sagittal"]
    at_mm: float | None = Field(
        default=None,
        description="Patient z (axial), y (coronal), x (sagittal); along the normal",
        examples=[12.5],
    )
    slice: Annotated[int, Field(ge=1)] | None = Field(
        default=None,
        description="For `acquired`: 1 is the lowest slice along the normal",
        examples=[40],
    )
    slab_mm: Annotated[float, Field(ge=0)] = Field(
        default=0.0, description="Thickness over which slices are combined; 0 is one slice"
    )
    slab: Literal["mean", "max", "min"] = Field(
        default="mean", description="How the slices of a slab are combined"
    )
    window: Line | Window = Field(
        description="A window name of the style, or center and width",
        examples=["soft_tissue", {"center": 40, "width": 400}],
    )
    crop_mm: tuple[Corner, Corner] | None = Field(
        default=None,
        description="Two opposite corners on the axes of the plane: axial x, y; coronal x, z; "
        "sagittal y, z",
        examples=[[[-60, -60], [60, 60]]],
    )


class RegionBase(Part):
    """What is pointed out on a scan, defined once and shown on any number of slides."""

    view: Name = Field(description="The view on which the coordinates were read", examples=["base"])
    color: Line | None = Field(
        default=None,
        description="A mark of the style; without it the next free one",
        examples=["orange"],
    )
    called: Line = Field(
        description="What the region is called aloud and in the key", examples=["the wire coil"]
    )


def _one_system(part: Any, *pairs: tuple[str, str]) -> None:
    """Each pair of fields (mm, px) must be given in the same one of the two systems."""
    given = [(getattr(part, mm) is not None, getattr(part, px) is not None) for mm, px in pairs]
    if all(given_pair == (True, False) for given_pair in given):
        return
    if all(given_pair == (False, True) for given_pair in given):
        return
    in_mm = " and ".join(f"`{mm}`" for mm, _ in pairs)
    in_px = " and ".join(f"`{px}`" for _, px in pairs)
    raise advised(
        "the coordinates are incomplete, or mix millimetres and pixels",
        f"Write {in_mm} (patient millimetres), or {in_px} (pixels), and nothing of the other",
    )


class EllipseRegion(RegionBase):
    """An ellipse around something."""

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
    """A rectangle around something."""

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
    """An outline through any number of corners; it closes by itself."""

    shape: Literal["polygon"]
    points_mm: Annotated[tuple[Millimetres, ...], Field(min_length=3)] | None = None
    points_px: Annotated[tuple[Pixels, ...], Field(min_length=3)] | None = None

    @model_validator(mode="after")
    def _coordinates(self) -> "PolygonRegion":
        _one_system(self, ("points_mm", "points_px"))
        return self


class ArrowRegion(RegionBase):
    """An arrow to a place."""

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
    """A small cross on a place."""

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
    # what an editor sees: -1299 alone is an integer there
    WithJsonSchema({"type": ["string", "integer"], "examples": ["1300 BCE", "c. 79 CE", "-1299~"]}),
]


class Period(Part):
    """A span of years, drawn as a bar."""

    label: Line = Field(examples=["Late Bronze Age"])
    start: AuthorDate = Field(description='As in "1300 BCE", "c. 950 BCE", "79 CE", EDTF "-1299~"')
    end: AuthorDate
    lane: Annotated[int, Field(ge=1)] = Field(default=1, description="Row of the timeline")

    @model_validator(mode="after")
    def _forwards(self) -> "Period":
        if self.start.earliest > self.end.latest:
            raise advised("ends before it starts", "Exchange `start` and `end`, or mend one")
        return self


class Event(Part):
    """A moment, or a moment known only as a span of years, drawn as a marker."""

    label: Line = Field(examples=["The urn is buried"])
    at: AuthorDate | None = None
    earliest: AuthorDate | None = None
    latest: AuthorDate | None = None

    @model_validator(mode="after")
    def _one_way(self) -> "Event":
        span = (self.earliest is not None, self.latest is not None)
        if (self.at is not None, *span) not in {(True, False, False), (False, True, True)}:
            raise advised(
                "needs either `at`, or both `earliest` and `latest`", "Write one of the two forms"
            )
        if self.earliest and self.latest and self.earliest.earliest > self.latest.latest:
            raise advised(
                "`earliest` is later than `latest`", "Exchange the two, or mend one of them"
            )
        return self


class Chronology(Part):
    """What the timeline shows."""

    era: Literal["BCE/CE", "BC/AD"] = "BCE/CE"
    periods: dict[Name, Period] = {}
    events: dict[Name, Event] = {}


class Finding(Part):
    """A conclusion and what it rests on."""

    statement: Line = Field(examples=["The mouth was closed with birch tar"])
    certainty: Literal["observed", "almost certain", "probable", "possible", "cannot be shown"]
    evidence: Annotated[tuple[Name, ...], Field(min_length=1)] = Field(
        description="Names of regions, periods or events that a slide shows",
        examples=[["coil", "plug"]],
    )
    against: str = Field(default="", description="What speaks against it, if anything")


class SlideBase(Part):
    """What every slide has."""

    id: Name = Field(description="The slide's own name", examples=["coil"])
    title: Line = Field(examples=["A coil of bronze wire"])
    section: str = Field(default="", description="Starts a section of the deck")
    say: str = Field(
        default="",
        description="The words spoken; [show NAME] is a click, {NAME.mark} speaks a mark",
        examples=["Look at the base. [show coil] {coil.mark} is a coil of wire."],
    )


class TitleSlide(SlideBase):
    """The opening: talk title, subtitle, speaker and occasion. `title` defaults to the talk's."""

    kind: Literal["title"]
    title: str = ""
    view: Name | None = Field(default=None, description="A picture beside the title")


class TextSlide(SlideBase):
    """Up to six points of words."""

    kind: Literal["text"]
    points: Annotated[tuple[Line, ...], Field(min_length=1, max_length=6)]


class QuoteSlide(SlideBase):
    """The words of another, and where they stand."""

    kind: Literal["quote"]
    quote: Line = Field(
        description="Without quotation marks", examples=["Here lies what fire left."]
    )
    source: Line = Field(
        description="Author, title, year, page", examples=["Excavation diary, 1931, page 12"]
    )


class ShownView(Part):
    """A view on a slide or panel, with the regions marked on it."""

    view: Name = Field(description="A name from `views`", examples=["base"])
    regions: tuple[Name, ...] = Field(default=(), description="Names from `regions`")
    caption: str = ""


class ScanSlide(SlideBase):
    """One to four views side by side, with their regions."""

    kind: Literal["scan"]
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)]


class TimelineSlide(SlideBase):
    """The whole chronology."""

    kind: Literal["timeline"]
    highlight: tuple[Name, ...] = Field(default=(), description="Periods that matter here")


class FindingsSlide(SlideBase):
    """Conclusions, each with its certainty; earlier slides show what they rest on."""

    kind: Literal["findings"]
    findings: Annotated[tuple[Name, ...], Field(min_length=1, max_length=6)]


class CreditsSlide(SlideBase):
    """Scan credits and rights come by themselves; `points` adds thanks and sources."""

    kind: Literal["credits"]
    points: tuple[Line, ...] = ()


class NoticeSlide(SlideBase):
    """A word to the audience before what may disturb: human remains, for instance."""

    kind: Literal["notice"]
    points: Annotated[tuple[Line, ...], Field(min_length=1, max_length=4)]


class BorrowedSlide(Part):
    """A slide of another storyboard, with all it rests on."""

    kind: Literal["borrowed"]
    origin: Name = Field(description="A name from `borrow`", examples=["urn"])
    slide: Name = Field(
        description="The slide's id in its origin; also its id here", examples=["coil"]
    )
    title: Line | None = Field(default=None, description="Instead of the title at the origin")
    section: str | None = None
    say: str | None = Field(default=None, description="Instead of the words at the origin")
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
    ] = Field(description="Width and height of the trimmed panel", examples=[[420, 594]])
    headline: Line = Field(examples=["What the urn holds"])
    body: Annotated[tuple[Line, ...], Field(min_length=1)] = Field(description="Paragraphs")
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)]
    png_dpi: Annotated[float, Field(ge=30, le=600)] = 150


class Storyboard(Part):
    """A whole talk, and the panels that share its evidence."""

    talk: Talk
    borrow: dict[Name, Line] = Field(
        default={},
        description="Name: path of another storyboard, relative to this one",
        examples=[{"urn": "../urn/talk.yaml"}],
    )
    scans: dict[Name, Scan] = {}
    views: dict[Name, View] = {}
    regions: dict[Name, Region] = {}
    chronology: Chronology | None = None
    findings: dict[Name, Finding] = {}
    slides: Annotated[tuple[Slide, ...], Field(min_length=1)]
    panels: dict[Name, Panel] = {}
