"""The kinds of slides."""

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from slidekit.storyboard.chronology import PeriodTally
from slidekit.storyboard.keeping import Keep
from slidekit.storyboard.parts import Line, Name, Part
from slidekit.storyboard.tables import Chart
from slidekit.storyboard.views import ShownView


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
    summary: str = Field(
        default="",
        description="What a reader of the handout should keep of it",
        examples=["The mouth was closed with birch tar, and mended with wax."],
    )
    keep: Keep = Field(
        default="must", description="What becomes of the slide when there is less time"
    )
    needs: tuple[Name, ...] = Field(
        default=(),
        description="Slides that this one refers back to: it goes when they go",
        examples=[["coil"]],
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


class ScanSlide(SlideBase):
    """One to four views side by side, with their regions."""

    kind: Literal["scan"]
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)] = Field(
        description="One to four views"
    )
    same_scale: bool = Field(
        default=False, description="A millimetre of the patient is as long on all the pictures"
    )
    stage: Name | None = Field(
        default=None,
        description="A stage of the account: a row along the top says where the talk has come to",
        examples=["pyre"],
    )


class TimelineSlide(SlideBase):
    """The whole chronology."""

    kind: Literal["timeline"]
    highlight: tuple[Name, ...] = Field(
        default=(), description="Periods and events that matter here"
    )
    zoom: tuple[Name, ...] = Field(
        default=(),
        description="Periods and events drawn larger; the rest is compressed, and marked so",
        examples=[["late_bronze", "shape_made"]],
    )
    tally: PeriodTally | None = Field(
        default=None, description="How many cases of a series belong to each period"
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


class MaterialsSlide(SlideBase):
    """What a region could be made of: the bands of candidates against what was measured."""

    kind: Literal["materials"]
    question: Name = Field(description="A name from `materials`", examples=["seal_is"])


class FindingsSlide(SlideBase):
    """Conclusions, each with its certainty; earlier slides show what they rest on."""

    kind: Literal["findings"]
    findings: Annotated[tuple[Name, ...], Field(min_length=1, max_length=6)] = Field(
        description="Names from `findings`"
    )


class CompareSlide(SlideBase):
    """The account stage by stage: what it says, what this case shows, where, and how often."""

    kind: Literal["compare"]
    stages: Annotated[tuple[Name, ...], Field(max_length=8)] = Field(
        default=(), description="Stages of the account; all of them if left out"
    )


class GlossarySlide(SlideBase):
    """Terms and their plain words, sorted, in two columns."""

    kind: Literal["glossary"]
    terms: tuple[Name, ...] = Field(
        default=(), description="Names from `glossary`; all that slides use, if left out"
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
    stage_row: bool = Field(
        default=True, description="`false` leaves out the row of stages that it has at its origin"
    )
    keep: Keep | None = Field(
        default=None, description="What becomes of it when there is less time, if not as there"
    )


OwnSlide: TypeAlias = (
    TitleSlide
    | TextSlide
    | QuoteSlide
    | ScanSlide
    | TimelineSlide
    | SeriesSlide
    | MaterialsSlide
    | FindingsSlide
    | CompareSlide
    | GlossarySlide
    | CreditsSlide
    | NoticeSlide
)
Slide: TypeAlias = Annotated[OwnSlide | BorrowedSlide, Field(discriminator="kind")]
