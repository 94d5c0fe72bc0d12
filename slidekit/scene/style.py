"""A look as data: colours, type sizes, marks and named windows, read from a file in `styles/`."""

from pydantic import BaseModel, ConfigDict, Field

from slidekit.scene.model import Dash, Role


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Mark(_Part):
    """One outline look. A storyboard asks for it by its key in `Style.marks`."""

    spoken: str = Field(description='Colour word said aloud, as in "the orange ellipse"')
    color: str = Field(pattern="^#[0-9A-F]{6}$")
    dash: Dash


class NamedWindow(_Part):
    center: float = Field(description="Window Center (0028,1050), modality units")
    width: float = Field(ge=1, description="Window Width (0028,1051), modality units")
    source: str = Field(description='Where the pair comes from, or "common practice"')


class Size(_Part):
    """Type size of a role: tried first, and the smallest allowed, in points."""

    pt: float
    least_pt: float


class Colors(_Part):
    ground: str = Field(description="Page colour")
    ink: str = Field(description="Text")
    quiet: str = Field(description="Captions, footers; still 7:1 on the ground")
    accent: str = Field(description="Rules, highlighted periods, bullets")
    plate: str = Field(description="Ground of keys and boxes")
    halo: str = Field(description="Dark edge under every mark; ground of label pills")


class Style(_Part):
    name: str
    colors: Colors
    sizes: dict[Role, Size] = Field(description="Slides, per role")
    panel_sizes: dict[Role, Size] = Field(description="Printed panels, per role")
    mark_line_pt: float = 3.0
    mark_halo_pt: float = 6.0
    marks: dict[str, Mark] = Field(min_length=4, description="In the order they are given out")
    windows: dict[str, NamedWindow]
