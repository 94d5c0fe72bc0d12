"""Technical terms, and plain words for them."""

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from slidekit.storyboard.parts import Line, Part, advised

Audience: TypeAlias = Literal["general", "student", "specialist"]


class PlainWords(Part):
    """What a term means, for one audience or more."""

    general: str = Field(default="", description="For everybody", examples=["one layer of cloth"])
    student: str = Field(default="", description="For students of the subject")
    specialist: str = Field(default="", description="For those who know the subject")

    @model_validator(mode="after")
    def _some(self) -> "PlainWords":
        if not (self.general or self.student or self.specialist):
            raise advised("explains nothing", "Write plain words, as in `one layer of cloth`")
        return self

    def words_for(self, audience: Audience) -> str:
        """What the audience is told, without a full stop; "" where it is told nothing. Everybody
        who is not of the subject is told something."""
        own: str = getattr(self, audience)
        return own.rstrip(". ") or (self.any_words if audience == "general" else "")

    @property
    def any_words(self) -> str:
        """The plainest there are."""
        return (self.general or self.student or self.specialist).rstrip(". ")


def _for_most(written: object) -> object:
    """Plain words alone are for everybody but specialists."""
    return {"general": written, "student": written} if isinstance(written, str) else written


Plain: TypeAlias = Annotated[
    PlainWords,
    BeforeValidator(_for_most),
    WithJsonSchema({"anyOf": [{"type": "string", "minLength": 1}, PlainWords.model_json_schema()]}),
]
"""`one layer of cloth`, or `{general: …, student: …, specialist: …}`."""


class Term(Part):
    """A technical term, explained where the audience first meets it."""

    term: Line = Field(description="The term itself", examples=["ply"])
    also: tuple[Line, ...] = Field(
        default=(), description="Other forms of the word", examples=[["plies"]]
    )
    plain: Plain = Field(
        description="What it means, in plain words: for general audiences and students, or for each"
        " audience its own",
        examples=["one layer of cloth", {"student": "one layer of cloth"}],
    )

    @property
    def forms(self) -> dict[str, str]:
        """What can stand behind the dot, and the form of the word that it gives: `{ply.plies}`."""
        others = {_as_part(form): form for form in self.also}
        return {**others, "": self.term, "term": self.term}

    def form(self, part: str) -> str | None:
        """The form of the word that `part` gives, in large letters or small."""
        return self.forms.get(part.lower())


def _as_part(form: str) -> str:
    """A form in letters that can stand behind the dot: "Fünfte Lage" becomes "fünfte_lage"."""
    return re.sub(r"\W+", "_", form.lower()).strip("_").lstrip("0123456789_")


def complaints_about_glossary(
    glossary: Mapping[str, Term],
) -> Iterator[tuple[tuple[str, ...], str, str]]:
    """One word that two terms explain: where, what is wrong, what to write instead."""
    first: dict[str, str] = {}
    for name, term in glossary.items():
        for form in dict.fromkeys(term.forms.values()):
            other = first.setdefault(form.casefold(), name)
            if other != name:
                wrong = f"`{form}` is also a form of the term `{other}`"
                yield ("glossary", name), wrong, "Explain it once, or leave the form out of one"
