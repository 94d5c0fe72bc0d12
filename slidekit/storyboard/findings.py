"""Conclusions: what they rest on, what speaks against them, and what else may be."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, TypeAlias

from pydantic import Field

from slidekit.evidence.certainty import Certainty
from slidekit.storyboard.parts import Line, Part

EvidenceName: TypeAlias = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)?$")]
"""A name, or a measured value of a region or volume: `tar_spot.mean`."""


class Alternative(Part):
    """What may be instead."""

    statement: Line = Field(
        description="The other conclusion, in one sentence", examples=["The hole is a drain"]
    )
    why_less: str = Field(
        default="",
        description="Why it is less likely; without it the finding is `possible` at most",
        examples=["No groove leads to it"],
    )


class Finding(Part):
    """A conclusion and what it rests on."""

    statement: Line = Field(
        description="The conclusion, in one sentence",
        examples=["The mouth was closed with birch tar"],
    )
    certainty: Certainty = Field(description="How far the evidence carries it")
    evidence: Annotated[tuple[EvidenceName, ...], Field(min_length=1)] = Field(
        description="Names of what earlier slides show: regions, volumes, periods, events, numbers,"
        " other findings; `region.mean` and the like where the value itself counts",
        examples=[["coil", "plug", "tar_spot.mean"]],
    )
    against: str = Field(default="", description="What speaks against it, if anything")
    alternatives: Annotated[tuple[Alternative, ...], Field(max_length=4)] = Field(
        default=(), description="What may be instead: up to four, shown with the finding"
    )
    although: str = Field(
        default="",
        description="Why it is surer than the weakest thing it rests on; shown with the finding",
    )

    @property
    def rests_on(self) -> tuple[str, ...]:
        """The names of its evidence, each once."""
        return names_in(self.evidence)


def names_in(evidence: Iterable[str]) -> tuple[str, ...]:
    """The names in a list of evidence, without the parts of values, each once."""
    return tuple(dict.fromkeys(name.partition(".")[0] for name in evidence))


def grounds_of(name: str, findings: Mapping[str, Finding]) -> Iterator[str]:
    """What slides show that a finding rests on, itself or through other findings; these rest on
    each other in no circle."""
    for evidence in findings[name].rests_on:
        if evidence in findings:
            yield from grounds_of(evidence, findings)
        else:
            yield evidence
