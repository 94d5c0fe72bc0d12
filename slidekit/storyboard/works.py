"""What is cited: an entry of a bibliography, or a work described on the spot."""

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import AfterValidator, Field, WithJsonSchema, model_validator

from slidekit.evidence.sources.issued import read_issued
from slidekit.storyboard.parts import Line, Part, advised

WorkType: TypeAlias = Literal[
    "article", "article-journal", "article-magazine", "article-newspaper", "bill", "book",
    "broadcast", "chapter", "classic", "collection", "dataset", "document", "entry",
    "entry-dictionary", "entry-encyclopedia", "event", "figure", "graphic", "hearing", "interview",
    "legal_case", "legislation", "manuscript", "map", "motion_picture", "musical_score",
    "pamphlet", "paper-conference", "patent", "performance", "periodical",
    "personal_communication", "post", "post-weblog", "regulation", "report", "review",
    "review-book", "software", "song", "speech", "standard", "thesis", "treaty", "webpage",
]  # fmt: skip
"""The item types of CSL 1.0.2."""


def _checked(value: object) -> object:
    read_issued(value)  # a CitationError is a ValueError with what to write instead
    return value


When: TypeAlias = Annotated[
    Any,
    AfterValidator(_checked),
    WithJsonSchema(
        {
            "anyOf": [{"type": ["string", "integer"]}, {"type": "object"}],
            "examples": [2019, "2019-05", "c. 1931", {"literal": "forthcoming"}],
        }
    ),
]
"""A date of CSL-JSON, an EDTF date, or a year as people write it."""


class Maker(Part):
    """A name of CSL-JSON: a person's in parts, or that of a body of people as a whole."""

    family: str = Field(default="", description="The family name alone", examples=["Berg"])
    given: str = Field(default="", description="Given names or initials", examples=["Anna"])
    particle: str = Field(
        default="", alias="non-dropping-particle", description="Said with the family name: van der"
    )
    dropping: str = Field(
        default="", alias="dropping-particle", description="Left out beside the family name alone"
    )
    suffix: str = Field(default="", description="After the name", examples=["Jr."])
    literal: str = Field(default="", description="What is no person", examples=["Town Museum"])

    @model_validator(mode="after")
    def _named(self) -> "Maker":
        if bool(self.family) == bool(self.literal):
            raise advised("needs `family` or `literal`, and not both", "Write one of them")
        return self


class CitedWork(Part):
    """A work, and the page of it that is meant; described on the spot in the terms of CSL-JSON."""

    file: Line | None = Field(
        default=None,
        description="Bibliography, relative to the storyboard: BibTeX (.bib) or CSL-JSON (.json)",
        examples=["reading.bib"],
    )
    entry: Line | None = Field(default=None, description="Its key there", examples=["Moor2019"])
    page: str = Field(
        default="", description="The page that is cited, or another place", examples=["112"]
    )
    type: WorkType | None = Field(
        default=None, description="Instead of `file`: what kind of work it is", examples=["book"]
    )
    title: Line | None = Field(
        default=None, description="Without quotation marks", examples=["Urns of the Lower Fields"]
    )
    short_title: str = Field(
        default="",
        alias="title-short",
        description="Cited instead, where there are no names",
        examples=["Urns"],
    )
    author: tuple[Maker, ...] = Field(
        default=(), description="In their order", examples=[[{"family": "Moor", "given": "Anna"}]]
    )
    editor: tuple[Maker, ...] = Field(default=(), description="Of a collection")
    translator: tuple[Maker, ...] = Field(default=(), description="In their order")
    issued: When = Field(default=None, description="When it came out")
    accessed: When = Field(default=None, description="When a page of the web was read")
    container: str = Field(
        default="", alias="container-title", description="The journal, or the book of a chapter"
    )
    pages: str = Field(
        default="", description="First and last page of an article or chapter", examples=["12-34"]
    )
    volume: str = Field(default="", description="Its number", examples=["3"])
    issue: str = Field(default="", description="Number within the volume", examples=["2"])
    number: str = Field(default="", description="Of a report")
    edition: str = Field(default="", description="Its number, or words", examples=["2"])
    genre: str = Field(default="", description="What a thesis or report is", examples=["PhD diss."])
    series: str = Field(default="", alias="collection-title", description="The series")
    series_number: str = Field(
        default="", alias="collection-number", description="Number in the series"
    )
    publisher: str = Field(default="", description="Of a thesis, the university")
    place: str = Field(default="", alias="publisher-place", description="Where that is")
    archive: str = Field(default="", description="Who keeps it", examples=["Town Museum"])
    archive_location: str = Field(default="", description="Where it lies there", examples=["Box 3"])
    archive_place: str = Field(default="", alias="archive-place", description="The town")
    doi: str = Field(
        default="", alias="DOI", description="Digital object identifier", examples=["10.1000/182"]
    )
    url: str = Field(default="", alias="URL", description="Its address on the web")

    @model_validator(mode="after")
    def _one_way(self) -> "CitedWork":
        own = self.model_fields_set - {"file", "entry", "page"}
        if self.file is None:
            if self.entry is not None:
                raise advised("has `entry` without `file`", "Write the file that has the entry")
            if self.type is None or self.title is None:
                raise advised(
                    "does not say what is cited",
                    "Write `file` and `entry`, or describe it with `type` and `title`",
                )
        elif own:
            names = ", ".join(f"`{name}`" for name in sorted(own))
            raise advised(f"has {names} beside `file`", "Remove it: the file says it")
        elif self.entry is None:
            raise advised("does not say which entry of the file", "Add `entry:` with its key")
        return self

    @property
    def item(self) -> dict[str, Any]:
        """The description on the spot as a CSL-JSON item."""
        described = self.model_dump(by_alias=True, exclude={"file", "entry", "page"})
        return {**described, "page": described.pop("pages")}


SOURCE_PARTS: tuple[str, ...] = ("cite", "author", "year", "title", "page")
"""What can be said of a source, besides its short form."""
