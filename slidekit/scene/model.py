"""What is on a page, in millimetres from its top left. Knows no file format.

Angles are degrees, clockwise on the page. Colours are "#RRGGBB". Points are (x, y) in mm.
Items are listed back to front, which is also the reading order.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.enlarging import Enlarged

Point: TypeAlias = tuple[float, float]
Dash: TypeAlias = Literal["solid", "dash", "lgDash", "dashDot", "lgDashDot", "lgDashDotDot"]
"""Preset dash names of ECMA-376 ST_PresetLineDashVal; the others are not drawn everywhere."""

DASH_LENGTHS: dict[Dash, tuple[float, ...]] = {
    "solid": (),
    "dash": (4, 3),
    "lgDash": (8, 3),
    "dashDot": (4, 3, 1, 3),
    "lgDashDot": (8, 3, 1, 3),
    "lgDashDotDot": (8, 3, 1, 3, 1, 3),
}
"""On and off lengths in line widths (ECMA-376 Part 1, 20.1.10.48 shows the patterns)."""


class Box(NamedTuple):
    """A rectangle on the page, mm from the page's top left."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        return self.left_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        return self.top_mm + self.height_mm

    @property
    def center_mm(self) -> Point:
        return self.left_mm + self.width_mm / 2, self.top_mm + self.height_mm / 2

    def inset(self, across_mm: float, down_mm: float) -> "Box":
        """The box smaller by `across_mm` at left and right, `down_mm` at top and bottom."""
        return Box(
            self.left_mm + across_mm,
            self.top_mm + down_mm,
            self.width_mm - 2 * across_mm,
            self.height_mm - 2 * down_mm,
        )


@dataclass(frozen=True)
class Stroke:
    """A line's colour, width and pattern; ends are flat, corners round."""

    color: str
    width_pt: float
    dash: Dash = "solid"


@dataclass(frozen=True)
class Run:
    """Letters of one look. `link` is the id of a page of the same deck."""

    text: str
    bold: bool = False
    italic: bool = False
    color: str | None = None  # None: the colour of the Text it stands in
    link: str | None = None


@dataclass(frozen=True)
class Paragraph:
    """Runs between two line ends."""

    runs: tuple[Run, ...]
    bullet: bool = False
    space_before_pt: float = 0.0

    @property
    def plain(self) -> str:
        return "".join(run.text for run in self.runs)


Role: TypeAlias = Literal[
    "title", "body", "caption", "key", "data", "label", "quote", "footer", "page_number"
]
"""What a text is for. Sizes in a style are given per role; `title`, `body`, `footer` and
`page_number` become placeholders of a deck's layouts."""


@dataclass(frozen=True)
class Text:
    """Paragraphs in a box at one size, already known to fit (see `scene.text`).

    `fill` draws a plate of that colour under the text, rounded by `corner_mm`.
    """

    box: Box
    paragraphs: tuple[Paragraph, ...]
    size_pt: float
    color: str
    role: Role
    align: Literal["left", "center", "right"] = "left"
    anchor: Literal["top", "middle", "bottom"] = "top"
    inset_mm: tuple[float, float] = (0.0, 0.0)  # at left and right, at top and bottom
    fill: str | None = None
    corner_mm: float = 0.0
    name: str = ""

    @property
    def plain(self) -> str:
        return "\n".join(paragraph.plain for paragraph in self.paragraphs)


@dataclass(frozen=True)
class Picture:
    """An image; grey (rows, columns) or colour (rows, columns, 3). Never cropped or stretched."""

    box: Box
    pixels: NDArray[np.uint8] | Enlarged
    alt: str
    name: str
    moving: bytes = b""  # the same picture moving by itself, a GIF, for what can show it

    @property
    def drawn(self) -> NDArray[np.uint8]:
        """The pixels to draw."""
        return self.pixels.pixels if isinstance(self.pixels, Enlarged) else self.pixels


@dataclass(frozen=True)
class Polyline:
    """Straight segments through `points_mm`; closed ones may be filled."""

    points_mm: tuple[Point, ...]
    closed: bool = False
    stroke: Stroke | None = None
    fill: str | None = None
    name: str = ""


@dataclass(frozen=True)
class Ellipse:
    """A whole ellipse."""

    center_mm: Point
    radii_mm: Point  # along the page's x and y before rotation
    rotation_deg: float = 0.0
    stroke: Stroke | None = None
    fill: str | None = None
    name: str = ""


@dataclass(frozen=True)
class Rect:
    """An upright rectangle, its corners rounded by `corner_mm`."""

    box: Box
    corner_mm: float = 0.0
    stroke: Stroke | None = None
    fill: str | None = None
    name: str = ""


Shape: TypeAlias = Polyline | Ellipse | Rect
"""Drawn without alt text of its own: decoration when alone, part of the whole in a group."""


@dataclass(frozen=True)
class Group:
    """Shapes and texts that mean one thing, move together and appear together.

    `step` is the click (1, 2, ...) at which the group appears; 0: there from the start.
    """

    name: str
    alt: str
    items: tuple["Shape | Text", ...]
    step: int = 0


Item: TypeAlias = Picture | Text | Polyline | Ellipse | Rect | Group

Layout: TypeAlias = Literal["title", "text", "pictures", "title_only"]
"""Which placeholders a page has: `title` title and body (a subtitle); `text` title and body;
`pictures` title and one picture; `title_only` title. Every page has footer and page number."""


@dataclass(frozen=True)
class Page:
    """One slide or printed panel."""

    id: str
    title: str  # unique in its deck
    layout: Layout
    size_mm: tuple[float, float]  # width, height
    ground: str
    items: tuple[Item, ...]
    notes: str = ""
    section: str = ""
    language: str = "en"  # BCP 47

    @property
    def steps(self) -> int:
        """How many clicks the page takes before the next page."""
        return max((item.step for item in self.items if isinstance(item, Group)), default=0)

    @property
    def texts(self) -> tuple[Text, ...]:
        """All texts in reading order, those in groups too."""
        parts = (one.items if isinstance(one, Group) else (one,) for one in self.items)
        return tuple(one for items in parts for one in items if isinstance(one, Text))
