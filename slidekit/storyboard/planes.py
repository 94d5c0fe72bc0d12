"""What an author may write of oblique planes and curved surfaces."""

from collections.abc import Iterator
from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from slidekit.storyboard.parts import Part, Positive

Triple: TypeAlias = Annotated[tuple[float, float, float], Field(examples=[[12.5, -40, 80]])]
Direction: TypeAlias = Annotated[tuple[float, float, float], Field(examples=[[0, 1, 0.5]])]


class FreePlane(Part):
    """The fields of oblique and curved views; directions and places are patient x, y, z."""

    normal: Direction | None = Field(
        default=None,
        description="For `oblique`: the direction across the plane, with one place in `through_mm`",
    )
    through_mm: Annotated[tuple[Triple, ...], Field(min_length=1, max_length=3)] | None = Field(
        default=None,
        description="For `oblique`: one place on the plane beside `normal`, or three places",
        examples=[[[12.5, -40, 80]]],
    )
    along_mm: tuple[Triple, Triple] | None = Field(
        default=None,
        description="For `oblique`: both ends of a long thing that the plane runs along",
        examples=[[[0, -20, 40], [10, -25, 120]]],
    )
    facing: Literal["axial", "coronal", "sagittal"] | None = Field(
        default=None, description="Beside `along_mm`: the plane that it shall come nearest to"
    )
    up: Direction | None = Field(
        default=None,
        description="For `oblique`: what points up; left out, the head, or the front if the plane "
        "is near axial",
        examples=[[0, 0, 1]],
    )
    path_mm: Annotated[tuple[Triple, ...], Field(min_length=2)] | None = Field(
        default=None,
        description="For `curved`: places that the path runs through, in order",
        examples=[[[0, 20, 10], [0, 26, 60], [0, 18, 110]]],
    )
    path: Literal["smooth", "straight"] = Field(
        default="smooth",
        description="How the path runs from place to place: as a cubic spline, or straight",
    )
    across: Direction | None = Field(
        default=None,
        description="For `curved`: the direction shown across the path",
        examples=[[1, 0, 0]],
    )
    width_mm: Positive | None = Field(
        default=None, description="For `curved`: how far the picture reaches across the path"
    )


OBLIQUE_FIELDS = ("normal", "through_mm", "along_mm", "facing", "up")
CURVED_FIELDS = ("path_mm", "path", "across", "width_mm")

_Complaint: TypeAlias = tuple[str, str, str]
"""Field, what is wrong, what to write instead."""


def complaints_about_plane(view: FreePlane, plane: str) -> Iterator[_Complaint]:
    """Fields that do not go with the plane of a view, or are missing for it."""
    for fields, owner in ((OBLIQUE_FIELDS, "oblique"), (CURVED_FIELDS, "curved")):
        if plane == owner:
            continue
        for field in fields:
            if field in view.model_fields_set and getattr(view, field) is not None:
                article = "an" if owner == "oblique" else "a"
                wrong = f"`{field}` belongs to {article} {owner} view, and the plane is {plane}"
                yield field, wrong, f"Remove it, or write `plane: {owner}`"
    if plane in ("oblique", "curved"):
        yield from _useless(view, plane)
    if plane == "oblique":
        yield from _about_oblique(view)
    if plane == "curved":
        for field, example in _NEEDED:
            if getattr(view, field) is None:
                yield field, "is missing", f"Add it, as in `{field}: {example}`"


_NEEDED = (
    ("path_mm", "[[0, 20, 10], [0, 26, 60], [0, 18, 110]]"),
    ("across", "[1, 0, 0]"),
    ("width_mm", "60"),
)


def _useless(view: FreePlane, plane: str) -> Iterator[_Complaint]:
    instead = {
        "oblique": "Say where it lies by `normal` and `through_mm`, or by `along_mm` and `facing`",
        "curved": "Say where it lies by `path_mm`",
    }[plane]
    for field in ("at_mm", "slice"):
        if getattr(view, field, None) is not None:
            yield field, f"`{field}` has no meaning for a plane that is {plane}", instead


def _about_oblique(view: FreePlane) -> Iterator[_Complaint]:
    places = len(view.through_mm or ())
    if view.along_mm is not None:
        for field in ("normal", "through_mm"):
            if getattr(view, field) is not None:
                yield field, f"`{field}` and `along_mm` are both given", "Write one of the two"
        if view.facing is None:
            wrong, instead = "is missing beside `along_mm`", "Write axial, coronal or sagittal"
            yield "facing", wrong, instead
        return
    if view.facing is not None:
        yield "facing", "`facing` goes with `along_mm`", "Remove it, or add `along_mm`"
    if view.normal is not None and places != 1:
        wrong = "is missing beside `normal`" if not places else f"has {places} places"
        yield "through_mm", wrong, "Write one place, as in `through_mm: [[12.5, -40, 80]]`"
    elif view.normal is None and places in (1, 2):
        wrong = f"{'one place fixes' if places == 1 else 'two places fix'} no plane"
        yield "through_mm", wrong, "Write three places, or one place and `normal`"
    elif view.normal is None and not places:
        instead = "Add it with `through_mm`, or write three places in `through_mm`"
        yield "normal", "is missing", f"{instead}, or `along_mm` and `facing`"
