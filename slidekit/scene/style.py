"""A look as data: colours, type sizes, marks and named windows, read from a file in `styles/`."""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, TypeAlias, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError
from pydantic_core import ErrorDetails

from slidekit.scans.model import Curve
from slidekit.scene.lettering.named import NamedFont, as_list, complaints_about_fonts
from slidekit.scene.model import Role
from slidekit.scene.palette import (
    Colors,
    Complaint,
    Mark,
    complaints_about_colors,
    complaints_about_marks,
)
from slidekit.scene.style_layers import find_style, merged, read_layers, style_error, style_of_talk

__all__ = [
    "Colors",
    "Mark",
    "NamedWindow",
    "Size",
    "Style",
    "find_style",
    "load_style",
    "style_of_talk",
]

Points: TypeAlias = Annotated[float, Field(gt=0, le=400)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class NamedWindow(_Part):
    """Which values become black and white, under a name that a view can ask for."""

    center: float = Field(description="Window Center (0028,1050), modality units")
    width: float = Field(gt=0, description="Window Width (0028,1051), modality units")
    curve: Curve = Field(default="linear", description="VOI LUT Function (0028,1056)")
    unit: str = Field(default="HU", description='Of the values it is meant for; "" for any')
    source: str = Field(description='Where the pair comes from, or "common practice"')


class Size(_Part):
    """Type size of a role: tried first, and the smallest allowed, in points."""

    pt: Points
    least_pt: Points


class Style(_Part):
    """Everything about a look; `load_style` gives only legible ones."""

    name: str
    language: str = Field(
        default="en", description="BCP 47 tag of the spoken words; their hue is checked in English"
    )
    fonts: Annotated[tuple[NamedFont, ...], BeforeValidator(as_list)] = Field(
        default=(), description="Families to look for letters in, before Arial"
    )
    colors: Colors
    sizes: dict[Role, Size] = Field(description="Slides, per role")
    panel_sizes: dict[Role, Size] = Field(description="Printed panels, per role")
    mark_line_pt: Points = 3.0
    mark_halo_pt: Points = 6.0
    marks: dict[str, Mark] = Field(min_length=4, description="In the order they are given out")
    windows: dict[str, NamedWindow]


def load_style(name_or_path: str | Path, relative_to: Path = Path()) -> Style:
    """The shipped style of that name, or the style file at that path from the folder `relative_to`.

    A file that has a line `like: NAME_OR_PATH` starts from that style: its own entries replace the
    other's or join them, entry by entry. Raises StyleError with all faults of the file.
    """
    layers = read_layers(find_style(str(name_or_path), relative_to))
    try:
        style = Style.model_validate(merged(layers))
    except ValidationError as error:
        raise style_error(layers, _complaints_of(error)) from error
    if complaints := list(_complaints_about(style)):
        # between layers, it is the file that was asked for that must change
        raise style_error(layers[:1], complaints)
    return style


def _complaints_of(error: ValidationError) -> list[Complaint]:
    return [_plainly(fault) for fault in error.errors(include_url=False)]


def _plainly(fault: ErrorDetails) -> Complaint:
    """A pydantic fault in the words of somebody who writes a style."""
    field = tuple(str(part) for part in fault["loc"] if part != "[key]")
    value, name = fault["input"], field[-1] if field else ""
    match fault["type"]:
        case "missing":
            return Complaint(field, f"{name} is missing", f"Add {name}")
        case "extra_forbidden":
            return Complaint(field, f"a style has no {name} here", "Remove it or mend its spelling")
        case "string_pattern_mismatch" | "string_type" if "color" in field[0] + name:
            return Complaint(
                field,
                f"{value!r} is not a color" if value else "there is no value",
                'Write # and six hexadecimal digits in quotes, as in "#12161C"',
            )
        case "float_parsing" | "float_type":
            return Complaint(field, f"{value!r} is not a number", "Write a number, without unit")
        case "literal_error":
            return Complaint(field, f"{value!r} is unknown", f"Write {fault['ctx']['expected']}")
    # the rest pydantic says well enough: "Input should be greater than or equal to 1"
    return Complaint(field, f"{value!r} cannot stand here", fault["msg"])


def _complaints_about(style: Style) -> Iterator[Complaint]:
    yield from complaints_about_colors(style.colors)
    yield from complaints_about_marks(style.marks, style.colors.halo, style.language)
    yield from _complaints_about_sizes(style)
    yield from complaints_about_fonts(style.fonts)
    for name, window in style.windows.items():
        if window.width < 1 and window.curve == "linear":
            yield Complaint(
                ("windows", name, "width"),
                f"{window.width:g} is too small",
                "Write 1 or more, or add `curve: linear_exact`, which takes less",
            )
    if style.mark_halo_pt <= style.mark_line_pt:
        yield Complaint(
            ("mark_halo_pt",),
            f"a halo of {style.mark_halo_pt:g} pt hides under a line of {style.mark_line_pt:g} pt",
            "Make the halo about twice as wide as the line",
        )


def _complaints_about_sizes(style: Style) -> Iterator[Complaint]:
    for field in ("sizes", "panel_sizes"):
        sizes: dict[Role, Size] = getattr(style, field)
        for role in get_args(Role):
            if role not in sizes:
                yield Complaint(
                    (field,),
                    f"there is no size for {role}",
                    f"Add a line such as {role}: {{pt: 18, least_pt: 14}}",
                )
            elif sizes[role].least_pt > sizes[role].pt:
                yield Complaint(
                    (field, role),
                    f"least_pt {sizes[role].least_pt:g} is more than pt {sizes[role].pt:g}",
                    "Write the smallest size allowed as least_pt",
                )
