"""What an author may write in a storyboard. Units are in the field names."""

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator

from slidekit.storyboard.chronology import Chronology
from slidekit.storyboard.insets import Around, Inset
from slidekit.storyboard.measured import Column, Volume
from slidekit.storyboard.motion import Cine, Turntable
from slidekit.storyboard.parts import Corner, Line, Name, Part, Positive, advised
from slidekit.storyboard.planes import FreePlane
from slidekit.storyboard.regions import Region
from slidekit.storyboard.scans import Scan
from slidekit.storyboard.tables import Agreement, Chart, Comparison, Count, QuotedNumber, Table
from slidekit.storyboard.windows import AnyWindow


class Talk(Part):
    """Who speaks, where, and for how long."""

    title: Line = Field(description="Title of the talk", examples=["What the urn holds"])
    subtitle: str = Field(default="", description="Line below the title")
    speaker: str = Field(default="", description="Who speaks, as on the opening slide")
    occasion: str = Field(default="", description="Where and when the talk is given")
    slot_min: Positive = Field(description="Time given to the talk, minutes", examples=[20])
    words_per_min: Annotated[float, Field(ge=60, le=240)] = Field(
        default=120, description="Pace of the speaker; lecturers with slides: 100 to 150"
    )
    audience: Literal["general", "student", "specialist"] = Field(
        default="general", description="Whom the words are for"
    )
    language: Annotated[str, Field(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$")] = Field(
        default="en", description="BCP 47 tag of the words", examples=["en", "en-GB", "de"]
    )
    style: str = Field(default="lecture-dark", description="Name or path of a style file")


PlaneName: TypeAlias = Literal[
    "acquired", "axial", "coronal", "sagittal", "oblique", "curved", "picture"
]


class View(FreePlane):
    """One picture of a scan, defined once and shown on any number of slides."""

    scan: Name = Field(description="A name from `scans`", examples=["urn"])
    plane: PlaneName = Field(
        description="A plane of the patient's body, the slices as they were acquired, a plane in "
        "any direction, a curved surface laid flat, or a picture without a place in a patient"
    )
    at_mm: float | None = Field(
        default=None,
        description="Patient z (axial), y (coronal), x (sagittal); along the normal",
        examples=[12.5],
    )
    slice: Annotated[int, Field(ge=1)] | None = Field(
        default=None,
        description="For `acquired`: 1 is the lowest slice along the normal; for `picture`: which "
        "of several",
        examples=[40],
    )
    slab_mm: Annotated[float, Field(ge=0)] = Field(
        default=0.0, description="Thickness over which slices are combined; 0 is one slice"
    )
    slab: Literal["mean", "max", "min"] = Field(
        default="mean", description="How the slices of a slab are combined"
    )
    window: AnyWindow | None = Field(
        default=None,
        description="A window name of the style, center and width, one stored in the files, "
        "percentiles, or two of them for the halves of the picture; photographs and pictures in "
        "colour have none",
        examples=["soft_tissue", {"center": 40, "width": 400}],
    )
    crop_mm: tuple[Corner, Corner] | None = Field(
        default=None,
        description="Two opposite corners on the axes of the plane: axial x, y; coronal x, z; "
        "sagittal y, z; oblique and curved: right and down from the middle",
        examples=[[[-60, -60], [60, 60]]],
    )
    crop_around: Around | None = Field(
        default=None,
        description="Instead of `crop_mm`: cut to a region and a rim around it",
        examples=[{"region": "coil", "margin_mm": 10}],
    )

    @model_validator(mode="after")
    def _one_crop(self) -> "View":
        if self.crop_mm is not None and self.crop_around is not None:
            raise advised("has `crop_mm` and `crop_around`", "Write one of the two")
        return self


class Finding(Part):
    """A conclusion and what it rests on."""

    statement: Line = Field(
        description="The conclusion, in one sentence",
        examples=["The mouth was closed with birch tar"],
    )
    certainty: Literal["observed", "almost certain", "probable", "possible", "cannot be shown"] = (
        Field(description="How far the evidence carries it")
    )
    evidence: Annotated[tuple[Name, ...], Field(min_length=1)] = Field(
        description="Names of regions, periods, events or counts that a slide shows",
        examples=[["coil", "plug"]],
    )
    against: str = Field(default="", description="What speaks against it, if anything")


class SlideBase(Part):
    """What every slide has."""

    id: Name = Field(description="The slide's own name", examples=["coil"])
    title: Line = Field(
        description="What the slide says, at its head", examples=["A coil of bronze wire"]
    )
    section: str = Field(default="", description="Starts a section of the deck")
    say: str = Field(
        default="",
        description="The words spoken; [show NAME] is a click, {NAME.mark} speaks a mark",
        examples=["Look at the base. [show coil] {coil.mark} is a coil of wire."],
    )


class TitleSlide(SlideBase):
    """The opening: talk title, subtitle, speaker and occasion. `title` defaults to the talk's."""

    kind: Literal["title"]
    title: str = Field(default="", description="Instead of the talk's title")
    view: Name | None = Field(default=None, description="A picture beside the title")


class TextSlide(SlideBase):
    """Up to six points of words."""

    kind: Literal["text"]
    points: Annotated[tuple[Line, ...], Field(min_length=1, max_length=6)] = Field(
        description="One to six points"
    )


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
    caption: str = Field(
        default="",
        description="Words below the picture; {NAME.mean} and its like stand for measured values",
    )
    table: tuple[Name, ...] = Field(
        default=(),
        description="Regions of this view whose values stand in a table beside the picture",
        examples=[["coil", "plug"]],
    )
    columns: Annotated[tuple[Column, ...], Field(min_length=1, max_length=6)] = Field(
        default=("mean_sd", "n", "area"), description="What the table tells of each region"
    )
    values: tuple[Name, ...] = Field(
        default=(),
        description="Regions of this view whose mean stands beside their letter",
        examples=[["coil"]],
    )
    profile: Name | None = Field(
        default=None,
        description="A line of this view along which the values are plotted",
        examples=["across"],
    )
    locator: Name | None = Field(
        default=None,
        description="A view across this one: shown small, with a line where this one cuts it",
        examples=["block_front"],
    )
    inset: Inset | None = Field(
        default=None,
        description="A part of the picture, shown larger",
        examples=[{"region": "weave", "times": 3}],
    )
    cine: Cine | None = Field(
        default=None,
        description="In the deck, the picture moves through the scan by itself",
        examples=[{"from_mm": -80, "to_mm": -40}],
    )
    turntable: Turntable | None = Field(
        default=None,
        description="In the deck, the picture turns by itself; the view is coronal with a thick "
        "slab of the maximum",
        examples=[{"frames": 36}],
    )


class ScanSlide(SlideBase):
    """One to four views side by side, with their regions."""

    kind: Literal["scan"]
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)] = Field(
        description="One to four views"
    )
    same_scale: bool = Field(
        default=False, description="A millimetre of the patient is as long on all the pictures"
    )


class TimelineSlide(SlideBase):
    """The whole chronology."""

    kind: Literal["timeline"]
    highlight: tuple[Name, ...] = Field(
        default=(), description="Periods and events that matter here"
    )


class SeriesSlide(SlideBase):
    """How common something is: one row for each count, with its share, its interval and n."""

    kind: Literal["series"]
    counts: Annotated[tuple[Name, ...], Field(min_length=1, max_length=6)] = Field(
        description="One to six names from `counts`", examples=[["side_hole"]]
    )
    chart: Chart = Field(
        default="intervals",
        description="A dot with its 95 % interval, or one mark for each case",
    )
    order: Literal["share", "written"] = Field(
        default="share", description="The commonest first, or as listed"
    )


class FindingsSlide(SlideBase):
    """Conclusions, each with its certainty; earlier slides show what they rest on."""

    kind: Literal["findings"]
    findings: Annotated[tuple[Name, ...], Field(min_length=1, max_length=6)] = Field(
        description="Names from `findings`"
    )


class CreditsSlide(SlideBase):
    """Scan credits and rights come by themselves; `points` adds thanks and sources."""

    kind: Literal["credits"]
    points: tuple[Line, ...] = Field(default=(), description="Thanks and sources")


class NoticeSlide(SlideBase):
    """A word to the audience before what may disturb: human remains, for instance."""

    kind: Literal["notice"]
    points: Annotated[tuple[Line, ...], Field(min_length=1, max_length=4)] = Field(
        description="One to four points"
    )


class BorrowedSlide(Part):
    """A slide of another storyboard, with all it rests on."""

    kind: Literal["borrowed"]
    origin: Name = Field(description="A name from `borrow`", examples=["urn"])
    slide: Name = Field(
        description="The slide's id in its origin; also its id here", examples=["coil"]
    )
    title: Line | None = Field(default=None, description="Instead of the title at the origin")
    section: str | None = Field(default=None, description="Instead of the section at the origin")
    say: str | None = Field(default=None, description="Instead of the words at the origin")
    captions: dict[Name, str] = Field(default={}, description="View name: caption")


OwnSlide: TypeAlias = (
    TitleSlide
    | TextSlide
    | QuoteSlide
    | ScanSlide
    | TimelineSlide
    | SeriesSlide
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
    headline: Line = Field(description="Read from afar", examples=["What the urn holds"])
    body: Annotated[tuple[Line, ...], Field(min_length=1)] = Field(description="Paragraphs")
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)] = Field(
        description="One to four views"
    )
    png_dpi: Annotated[float, Field(ge=30, le=600)] = Field(
        default=150, description="Pixels to the inch of the PNG; the PDF is sharp at any size"
    )


class Storyboard(Part):
    """A whole talk, and the panels that share its evidence."""

    talk: Talk = Field(description="Who speaks, where, and for how long")
    borrow: dict[Name, Line] = Field(
        default={},
        description="Name: path of another storyboard, relative to this one",
        examples=[{"urn": "../urn/talk.yaml"}],
    )
    scans: dict[Name, Scan] = Field(default={}, description="Name: a series of DICOM files")
    views: dict[Name, View] = Field(default={}, description="Name: one picture of a scan")
    regions: dict[Name, Region] = Field(
        default={}, description="Name: what is pointed out on a view"
    )
    volumes: dict[Name, Volume] = Field(
        default={}, description="Name: a range of values inside a part of a scan, for its volume"
    )
    chronology: Chronology | None = Field(default=None, description="What the timeline shows")
    tables: dict[Name, Table] = Field(
        default={}, description="Name: a comparative series, one case in each row"
    )
    counts: dict[Name, Count] = Field(
        default={}, description="Name: how many cases of a table meet conditions"
    )
    comparisons: dict[Name, Comparison] = Field(
        default={}, description="Name: two counts held against each other"
    )
    agreements: dict[Name, Agreement] = Field(
        default={}, description="Name: two readers of the same cases"
    )
    quoted: dict[Name, QuotedNumber] = Field(
        default={}, description="Name: a percentage or mean from elsewhere"
    )
    findings: dict[Name, Finding] = Field(
        default={}, description="Name: a conclusion and what it rests on"
    )
    slides: Annotated[tuple[Slide, ...], Field(min_length=1)] = Field(
        description="The slides in the order they are shown"
    )
    panels: dict[Name, Panel] = Field(default={}, description="Name: a printed exhibit panel")
