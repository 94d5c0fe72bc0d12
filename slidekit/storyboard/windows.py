"""How an author says which values become black and white."""

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import (
    BeforeValidator,
    Discriminator,
    Field,
    Tag,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
)

from slidekit.storyboard.parts import Line, Name, Part, Positive, advised

Curve: TypeAlias = Literal["linear", "linear_exact", "sigmoid"]
_CURVE = "How grey rises between black and white (VOI LUT Function, PS3.3 C.11.2.1.3)"

Percentile: TypeAlias = Annotated[float, Field(ge=0, le=100)]


class Window(Part):
    """The values in the middle and the range from black to white, as numbers."""

    center: float = Field(
        description="Window Center (0028,1050), modality units (HU for CT)", examples=[40]
    )
    curve: Curve = Field(default="linear", description=_CURVE)
    width: Positive = Field(description="Window Width (0028,1051), modality units", examples=[400])

    @field_validator("width")
    @classmethod
    def _wide_enough(cls, width: float, info: ValidationInfo) -> float:
        if width < 1 and info.data.get("curve") == "linear":
            raise advised(
                f"`{width:g}` is too small",
                "Write 1 or more, or add `curve: linear_exact`, which takes less",
            )
        return width


class StoredWindow(Part):
    """A window that the files carry, or a table of grey levels (VOI LUT)."""

    stored: Annotated[
        Line,
        # what an editor sees: a number is written as one
        WithJsonSchema({"type": ["string", "integer"], "examples": [1, "table"]}),
    ] = Field(
        description="The number of a window, its explanation in the file, or `table`, `table 2`"
    )


class AutomaticWindow(Part):
    """A window from the values of the view; padding does not count."""

    percentiles: tuple[Percentile, Percentile] = Field(
        description="Of the values: what becomes black, and what white", examples=[[1, 99]]
    )
    region: Name | None = Field(
        default=None, description="Only of the values inside this region", examples=["coil"]
    )
    curve: Curve | None = Field(default=None, description=_CURVE)

    @field_validator("percentiles")
    @classmethod
    def _upwards(cls, pair: tuple[float, float]) -> tuple[float, float]:
        low, high = pair
        if low == high:
            raise advised(f"both are {low:g}", "Write two of them, as in [1, 99]")
        if low > high:
            raise advised("run downwards", f"Write the lower one first: [{high:g}, {low:g}]")
        return pair


_BY_NAME, _BY_NUMBERS, _BY_FILE, _BY_VALUES, _BY_HALVES = FORMS = (
    "by name",
    "by numbers",
    "by file",
    "by values",
    "by halves",
)
"""Tags of the forms; they stand in the paths of faults, and are no fields."""

_FORM_OF_FIELD = {
    "center": _BY_NUMBERS,
    "width": _BY_NUMBERS,
    "stored": _BY_FILE,
    "percentiles": _BY_VALUES,
    "region": _BY_VALUES,
    "split": _BY_HALVES,
}


def _form(value: Any) -> str:
    """Which form is meant: by the fields it has, or nearly has."""
    match value:
        case Window():
            return _BY_NUMBERS
        case StoredWindow():
            return _BY_FILE
        case AutomaticWindow():
            return _BY_VALUES
        case SplitWindow():
            return _BY_HALVES
        case dict():
            near = (get_close_matches(str(key), _FORM_OF_FIELD, 1, 0.7) for key in value)
            return next((_FORM_OF_FIELD[found[0]] for found in near if found), _BY_NUMBERS)
    return _BY_NAME


def _not_split(value: Any) -> Any:
    if _form(value) == _BY_HALVES:
        raise advised("is split again", "Write one window for each half")
    return value


OneWindow: TypeAlias = Annotated[
    Annotated[Line, Tag(_BY_NAME)]
    | Annotated[Window, Tag(_BY_NUMBERS)]
    | Annotated[StoredWindow, Tag(_BY_FILE)]
    | Annotated[AutomaticWindow, Tag(_BY_VALUES)],
    Discriminator(_form),
    BeforeValidator(_not_split),
]


class SplitWindow(Part):
    """Two windows in one picture: its left half and its right half."""

    split: tuple[OneWindow, OneWindow] = Field(
        description="The window of the left half and that of the right half, each in any form",
        examples=[["soft_tissue", "bone"]],
    )


AnyWindow: TypeAlias = Annotated[
    Annotated[Line, Tag(_BY_NAME)]
    | Annotated[Window, Tag(_BY_NUMBERS)]
    | Annotated[StoredWindow, Tag(_BY_FILE)]
    | Annotated[AutomaticWindow, Tag(_BY_VALUES)]
    | Annotated[SplitWindow, Tag(_BY_HALVES)],
    Discriminator(_form),
]
"""What may stand after `window:`."""


def halves_of(window: AnyWindow | None) -> Iterator[tuple[tuple[str | int, ...], OneWindow]]:
    """The single windows in `window`, left to right, each with its path below the field."""
    if window is None:
        return
    if isinstance(window, SplitWindow):
        for half, one in enumerate(window.split):
            yield ("split", half), one
    else:
        yield (), window
