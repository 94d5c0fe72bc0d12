"""Files of candidate materials: what each is made of, how dense it is, and who says so."""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, ValidationError, model_validator
from pydantic_core import ErrorDetails

from slidekit.errors import Fault, StoryboardError
from slidekit.evidence.attenuation import ELEMENTS, Composition, parse_formula
from slidekit.evidence.materials import Candidate
from slidekit.storyboard.names.naming import listed, nearest
from slidekit.storyboard.parts import Line, Name, Part, Positive, advised
from slidekit.storyboard.places import FieldPath, Places
from slidekit.storyboard.yaml_text import parse_yaml, without_empty
from slidekit.wording.catalogue import language_now


def _as_range(written: object) -> object:
    return [written, written] if isinstance(written, str | int | float) else written


def _in_languages(written: object) -> object:
    return {EVERY: written} if isinstance(written, str | int | float) else written


EVERY = "*"
"""The language of a name that is the same in all of them."""

Share = Annotated[float, Field(gt=0, le=1)]


class CandidateEntry(Part):
    """One material of a file, by its name."""

    called: Annotated[dict[str, Line], BeforeValidator(_in_languages)] = Field(
        description="As in a list of what it could be, by language; or one name for all",
        examples=[{"en": "birch tar", "de": "Birkenpech"}],
        min_length=1,
    )
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
            name, self.name_now, composition, self.density_g_cm3, self.packing, self.pores
        )

    @property
    def name_now(self) -> str:
        """What it is called in the language of the run, else in the first that is given."""
        primary = language_now().partition("-")[0].lower()
        return self.called.get(primary) or next(iter(self.called.values()))


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
_WANTED = {
    "formula": "atoms and their numbers, as in CaSO4·2H2O",
    "mass_fractions": "elements with their parts by mass, as in {C: 0.83, H: 0.11}",
    "density_g_cm3": "one number above 0, or two, as in [0.95, 0.97]",
    "packing": "one number above 0 and up to 1, or two, as in [0.6, 1]",
    "pores": "air or water",
}
"""What a field holds, where it is not words."""


def _fault(error: ErrorDetails, places: Places) -> Fault:
    """A fault of the models in the words of somebody who writes a file of candidates."""
    path = tuple(step for step in error["loc"] if step != "[key]")
    if error["type"] == "advised":
        return places.fault(path, str(error["ctx"]["wrong"]), str(error["ctx"]["instead"]))
    if len(path) < 2:
        wrong = "there are no materials in the file"
        return places.fault((), wrong, "Begin it with `materials:`, and name each material below")
    about = _about_entry if len(path) == 2 else _about_field
    return places.fault(path[:3], *about(error, str(path[-1]), path))


_Advice = tuple[str, str]


def _about_entry(error: ErrorDetails, name: str, _: FieldPath) -> _Advice:
    if error["type"] == "string_pattern_mismatch":
        rule = "Use small letters, digits and _, and begin with a letter"
        return f"`{name}` is not a name", rule
    return "has no fields", f"Write below it, indented: {listed(_FIELDS)}"


def _about_field(error: ErrorDetails, name: str, path: FieldPath) -> _Advice:
    if error["type"] == "extra_forbidden":
        meant = nearest(name, _FIELDS)
        instead = f"Write `{meant}` if you mean that" if meant else "Remove it"
        return "is not a field here", f"{instead}; it has {listed(_FIELDS)}"
    wanted = f"Write {_WANTED.get(str(path[2]), 'words')}"
    if error["type"] == "missing" and len(path) == 3:
        return "is missing", wanted
    value = error["input"]
    shown = f"`{value}`" if isinstance(value, str | int | float) and value != "" else "what it has"
    return f"{shown} cannot stand here", wanted
