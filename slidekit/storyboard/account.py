"""A reference account: how such things were usually done, and what this case shows of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from slidekit.storyboard.findings import EvidenceName, names_in
from slidekit.storyboard.parts import Line, Name, Part
from slidekit.wording import phrase, phrase_key

Showing: TypeAlias = Literal["as described", "differs", "absent", "not assessable"]
"""What a case shows of a stage. The last two differ: it was not done, or nobody can tell."""

SEEN: tuple[Showing, ...] = ("as described", "differs")
"""Answers that something must show."""

_ANSWERS: Mapping[Showing, str] = {
    "as described": phrase_key("as described"),
    "differs": phrase_key("differs"),
    "absent": phrase_key("absent"),
    "not assessable": phrase_key("not assessable"),
}

STAGE_PARTS = ("called", "here", "number")
"""What may follow the name of a stage in braces."""


class Stage(Part):
    """One stage of the account, and what this case shows of it."""

    called: Line = Field(
        description="Its name, short enough for a cell of the row on scan slides",
        examples=["Burning"],
    )
    about: Line = Field(
        description="What the account says of it",
        examples=["The body is burnt on a pyre with what it wore"],
    )
    here: Showing = Field(description="What this case shows of it")
    note: str = Field(
        default="",
        description="How this case shows it; where it is absent, why that is more than not seen",
        examples=["Cracks and colour of bone burnt at great heat"],
    )
    by: tuple[EvidenceName, ...] = Field(
        default=(),
        description="Names of what slides show of it: regions, counts, findings and the like;"
        " `region.mean` and the like where the value itself counts",
        examples=[["vault", "shaft"]],
    )
    series: Name | None = Field(
        default=None,
        description="A name from `counts`: how often the series shows it",
        examples=["side_hole"],
    )

    @property
    def answer(self) -> str:
        """What the case shows of it, in words of the language of the talk."""
        return phrase(_ANSWERS[self.here])

    @property
    def rests_on(self) -> tuple[str, ...]:
        """The names of what shows it, each once."""
        return names_in(self.by)


class Account(Part):
    """How such things were usually done, after one source, as ordered stages."""

    called: Line = Field(
        description="What the account tells", examples=["How an urn was usually filled"]
    )
    source: Line = Field(
        description="A name from `sources`, or author, title, year, page",
        examples=["handbook"],
    )
    stages: Annotated[dict[Name, Stage], Field(min_length=2, max_length=8)] = Field(
        description="Name: a stage; two to eight, in their order"
    )


@dataclass(frozen=True)
class Stages:
    """The stages of an account, and how they are said; none for a storyboard without one."""

    account: Account | None = None

    @property
    def known(self) -> Mapping[str, Stage]:
        return self.account.stages if self.account is not None else {}

    def __contains__(self, name: object) -> bool:
        return name in self.known

    def __iter__(self) -> Iterator[str]:
        return iter(self.known)

    def position(self, name: str) -> int:
        """1 for the first; KeyError for what is no stage."""
        if name not in self.known:
            raise KeyError(name)
        return list(self.known).index(name) + 1

    def say(self, name: str, part: str) -> str:
        """The words of `{name.part}`, or of `{name}` where `part` is ""."""
        stage = self.known[name]
        return {
            "": stage.called,
            "called": stage.called,
            "here": stage.answer,
            "number": phrase("{k} of {n}", k=self.position(name), n=len(self.known)),
        }[part]

    def in_words(self, name: str) -> str:
        """What the click of a stage brings on: "stage 2 of 6, Burning: differs"."""
        stage, number = self.known[name], self.say(name, "number")
        return phrase(
            "stage {number}, {called}: {answer}",
            number=number,
            called=stage.called,
            answer=stage.answer,
        )

    def chosen(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """`names`, or all stages where there are none."""
        return names or tuple(self.known)
