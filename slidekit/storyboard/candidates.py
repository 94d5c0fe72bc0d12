"""Files of candidate materials: what each is made of, how dense it is, and who says so."""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, ValidationError, model_validator
from pydantic_core import ErrorDetails

from slidekit.errors import Fault, StoryboardError
from slidekit.evidence.attenuation import ELEMENTS, Composition, parse_formula
from slidekit.evidence.materials import Candidate
from slidekit.storyboard.naming import listed, nearest
from slidekit.storyboard.parts import Line, Name, Part, Positive, advised
from slidekit.storyboard.places import Places
from slidekit.storyboard.yaml_text import parse_yaml, without_empty


def _as_range(written: object) -> object:
    return [written, written] if isinstance(written, str | int | float) else written


Share = Annotated[float, Field(gt=0, le=1)]


class CandidateEntry(Part):
    """One material of a file, by its name."""

    called: Line = Field(description="As in a list of what it could be", examples=["birch tar"])
    formula: str | None = Field(default=None, description="Atoms", examples=["CaSO4·2H2O"])
    mass_fractions: dict[str, Positive] | None = Field(
        default=None, description="Instead of `formula`: parts by mass", examples=[{"C": 0.83}]
    )
    composition_source: Line = Field(description="Who says what it is made of")
    density_g_cm3: Annotated[tuple[Positive, Positive], BeforeValidator(_as_range)] = Field(
        description="Least and greatest density of the solid", examples=[[0.95, 0.97]]
    )
    density_source: Line = Field(description="Who says how dense it is")
    packing: Annotated[tuple[Share, Share], BeforeValidator(_as_range)] = Field(
        default=(1.0, 1.0), description="Least and greatest share of the solid in the volume"
    )
    packing_source: str = Field(default="", description="Who says how it packs")
    pores: Literal["air", "water"] = Field(default="air", description="What fills the rest")

    @model_validator(mode="after")
    def _whole(self) -> "CandidateEntry":
        if (self.formula is None) == (self.mass_fractions is None):
            raise advised("needs a composition", "Write `formula` or `mass_fractions`, one of them")
        if self.formula is not None:
            try:
                parse_formula(self.formula)
            except ValueError as error:
                raise advised(str(error), "Write atoms and their numbers: CaSO4·2H2O") from error
        for element in self.mass_fractions or ():
            if element not in ELEMENTS:
                raise advised(f"`{element}` is no element", "Write symbols from H to U")
        for name in ("density_g_cm3", "packing"):
            low, high = getattr(self, name)
            if low > high:
                raise advised(f"`{name}` begins with the greater number", "Exchange the two")
        if self.packing != (1.0, 1.0) and not self.packing_source:
            raise advised("`packing_source` is missing", "Say who says how it packs")
        return self

    def candidate(self, name: str) -> Candidate:
        """As the evidence knows it."""
        if self.formula is not None:
            composition = parse_formula(self.formula)
        else:
            composition = Composition(self.mass_fractions or {}, "mass")
        return Candidate(
            name, self.called, composition, self.density_g_cm3, self.packing, self.pores
        )


class CandidatesFile(Part):
    """A whole file."""

    materials: dict[Name, CandidateEntry] = Field(min_length=1)


def read_candidates(path: Path) -> Mapping[str, CandidateEntry]:
    """The materials of a file by their names.

    Raises
    ------
    StoryboardError
        With all faults of the file, or of its being there at all.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        wrong, instead = f"{path} cannot be read", "Name a file of candidates, YAML in UTF-8"
        raise StoryboardError([Fault(path, 1, "materials", wrong, instead)]) from error
    data, places = parse_yaml(text, path)
    try:
        return CandidatesFile.model_validate(without_empty(data)).materials
    except ValidationError as invalid:
        errors = invalid.errors(include_url=False)
        raise StoryboardError([_fault(error, places) for error in errors]) from invalid


_FIELDS = tuple(CandidateEntry.model_fields)


def _fault(error: ErrorDetails, places: Places) -> Fault:
    """A fault of the models in the words of somebody who writes a file of candidates."""
    path = tuple(step for step in error["loc"] if step != "[key]")
    name, value = str(path[-1]) if path else "", error["input"]
    match error["type"]:
        case "advised":
            context = error["ctx"]
            return places.fault(path, str(context["wrong"]), str(context["instead"]))
        case "missing" if len(path) == 1:
            instead = "Begin it with `materials:`, and name each material below"
            return places.fault((), "there are no materials in the file", instead)
        case "missing":
            return places.fault(path, "is missing", f"Add `{name}:`")
        case "extra_forbidden":
            meant = nearest(name, _FIELDS)
            instead = f"Write `{meant}` if you mean that" if meant else "Remove it"
            return places.fault(path, "is not a field here", f"{instead}; it has {listed(_FIELDS)}")
        case "float_parsing" | "float_type":
            return places.fault(path, f"`{value}` is not a number", "Write a number alone")
    return places.fault(path, f"`{value}` cannot stand here", error["msg"])
