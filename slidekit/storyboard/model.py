"""What an author may write in a storyboard. Units are in the field names."""

from typing import Annotated

from pydantic import Field

from slidekit.storyboard.account import Account
from slidekit.storyboard.chronology import Chronology
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.glossary import Term
from slidekit.storyboard.materials import Contrast, Question
from slidekit.storyboard.measured import Volume
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.parts import Line, Name, Part
from slidekit.storyboard.regions import Region
from slidekit.storyboard.scans import Scan
from slidekit.storyboard.slides import Slide
from slidekit.storyboard.tables import Agreement, Comparison, Count, QuotedNumber, Table
from slidekit.storyboard.talk import Talk
from slidekit.storyboard.views import View
from slidekit.storyboard.waivers import Waiver
from slidekit.storyboard.works import CitedWork


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
    account: Account | None = Field(
        default=None, description="How such things were usually done, and what this case shows"
    )
    materials: dict[Name, Question] = Field(
        default={}, description="Name: which materials could give the CT numbers of a region"
    )
    contrasts: dict[Name, Contrast] = Field(
        default={}, description="Name: the values of two regions held against each other"
    )
    sources: dict[Name, CitedWork] = Field(
        default={}, description="Name: a work that is cited, and the page of it"
    )
    findings: dict[Name, Finding] = Field(
        default={}, description="Name: a conclusion and what it rests on"
    )
    glossary: dict[Name, Term] = Field(
        default={}, description="Name: a term, and plain words for it"
    )
    slides: Annotated[tuple[Slide, ...], Field(min_length=1)] = Field(
        description="The slides in the order they are shown"
    )
    panels: dict[Name, Panel] = Field(default={}, description="Name: a printed exhibit panel")
    waive: tuple[Waiver, ...] = Field(
        default=(), description="Rules of `check` that do not count here, and why"
    )
