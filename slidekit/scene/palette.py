"""The colours of a style, and what makes them legible to everybody in the room.

The rules are checked when a style is loaded: text reads at 7:1, a mark stands out on any grey, its
spoken word fits its hue, and no two marks look alike, to a colour-blind viewer neither.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Annotated, NamedTuple, TypeAlias

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from slidekit.scene.color import color_difference, contrast_ratio, least_difference
from slidekit.scene.model import Dash

TEXT_CONTRAST = 7.0  # WCAG 2.2, success criterion 1.4.6, enhanced
GRAPHIC_CONTRAST = 3.0  # WCAG 2.2, success criterion 1.4.11
MARK_ON_HALO_CONTRAST = GRAPHIC_CONTRAST**2
"""A grey half way between the two (on the ratio scale) is 3:1 from both only when they are 9:1
apart; with less there is a grey on which neither mark nor halo stands out."""
LIKENESS = 10.0  # CIEDE2000 under which two thin lines are taken for one colour; common practice

# CSS Color Module Level 4, section 6.1: named colours whose name says the basic term; the rows of
# brown and pink are the CSS groups of those names.
_BASIC_TERMS: Mapping[str, tuple[str, ...]] = {
    "black": ("#000000",),
    "white": ("#FFFFFF", "#F5F5F5"),
    "gray": ("#808080", "#A9A9A9", "#D3D3D3", "#696969"),
    "red": ("#FF0000", "#8B0000", "#DC143C", "#B22222"),
    "orange": ("#FFA500", "#FF8C00", "#FF7F00"),
    "yellow": ("#FFFF00", "#FFD700", "#F0E68C"),
    "green": ("#008000", "#00FF00", "#90EE90", "#2E8B57", "#00FF7F", "#32CD32", "#3CB371"),
    "turquoise": ("#40E0D0", "#00CED1", "#00FFFF", "#20B2AA"),
    "blue": ("#0000FF", "#1E90FF", "#87CEEB", "#4682B4", "#00BFFF", "#ADD8E6", "#00008B"),
    "purple": ("#800080", "#9370DB", "#8A2BE2", "#EE82EE", "#663399"),
    "pink": ("#FFC0CB", "#FFB6C1", "#FF69B4", "#DB7093", "#FF1493"),
    "brown": ("#8B4513", "#A52A2A", "#A0522D", "#D2B48C"),
}
_SAME_WORD = {"grey": "gray", "violet": "purple", "cyan": "turquoise"}


HexColor: TypeAlias = Annotated[str, Field(pattern="^#[0-9A-Fa-f]{6}$"), AfterValidator(str.upper)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Mark(_Part):
    """One outline look. A storyboard asks for it by its key in `Style.marks`."""

    spoken: str = Field(description='Colour word said aloud, as in "the orange ellipse"')
    color: HexColor
    dash: Dash


class Colors(_Part):
    """The colours of the page itself."""

    ground: HexColor = Field(description="Page colour")
    ink: HexColor = Field(description="Text")
    quiet: HexColor = Field(description="Captions, footers; still 7:1 on the ground")
    accent: HexColor = Field(description="Rules, highlighted periods, bullets")
    plate: HexColor = Field(description="Ground of keys and boxes")
    halo: HexColor = Field(description="Dark edge under every mark; ground of label pills")


class Complaint(NamedTuple):
    """What is wrong with one field of a style, and what to write instead; no full stops."""

    field: tuple[str, ...]
    wrong: str
    instead: str


def complaints_about_colors(colors: Colors) -> Iterator[Complaint]:
    """Text below 7:1 and accents below 3:1, on the ground and on the plate."""
    wanted = {"ink": TEXT_CONTRAST, "quiet": TEXT_CONTRAST, "accent": GRAPHIC_CONTRAST}
    for name, least in wanted.items():
        for under in ("ground", "plate"):
            color, below = getattr(colors, name), getattr(colors, under)
            ratio = contrast_ratio(color, below)
            if ratio < least:
                yield Complaint(
                    ("colors", name),
                    f"{color} has a contrast of {ratio:.2f}:1 on the {under} {below}",
                    f"Choose a color with {least:g}:1 or more",
                )


def complaints_about_marks(
    marks: Mapping[str, Mark], halo: str, language: str
) -> Iterator[Complaint]:
    """Marks that drown, that are called what they are not, or that could be mistaken."""
    english = language.partition("-")[0].lower() == "en"
    for key, mark in marks.items():
        yield from _drowned(key, mark, halo)
        if english:
            yield from _misnamed(key, mark)
    for (key, one), (other_key, other) in combinations(marks.items(), 2):
        yield from _mistaken((other_key, other), (key, one))


def _drowned(key: str, mark: Mark, halo: str) -> Iterator[Complaint]:
    ratio = contrast_ratio(mark.color, halo)
    if ratio < MARK_ON_HALO_CONTRAST:
        yield Complaint(
            ("marks", key, "color"),
            f"{mark.color} has a contrast of {ratio:.2f}:1 to the halo {halo}, so that on some"
            " greys neither reaches 3:1",
            f"Choose a lighter color, with {MARK_ON_HALO_CONTRAST:g}:1 or more, or a darker halo",
        )


def nearest_basic_term(color: str) -> str:
    """The basic colour word for `color`: that of the nearest named colour, by CIEDE2000."""
    distance = {
        term: min(color_difference(color, named) for named in shades)
        for term, shades in _BASIC_TERMS.items()
    }
    return min(distance, key=lambda term: distance[term])


def _misnamed(key: str, mark: Mark) -> Iterator[Complaint]:
    """In English the last word names the hue: "sky blue" and "bluish green" are blue and green."""
    said = mark.spoken.lower().replace("-", " ").split()
    term = _SAME_WORD.get(said[-1], said[-1]) if said else ""
    if term not in _BASIC_TERMS:
        yield Complaint(
            ("marks", key, "spoken"),
            f"{mark.spoken!r} does not end in a basic colour word",
            f"Write one of {', '.join(_BASIC_TERMS)}, alone or after a word such as light",
        )
    elif (seen := nearest_basic_term(mark.color)) != term:
        yield Complaint(
            ("marks", key, "spoken"),
            f"{mark.color} is called {mark.spoken} but looks {seen}",
            f"Call it {seen}, or choose a color that looks {term}",
        )


def _mistaken(named: tuple[str, Mark], earlier: tuple[str, Mark]) -> Iterator[Complaint]:
    (key, mark), (earlier_key, other) = named, earlier
    if mark.spoken.casefold() == other.spoken.casefold():
        yield Complaint(
            ("marks", key, "spoken"),
            f"{mark.spoken!r} is also what the mark {earlier_key} is called",
            "Give each mark a word of its own",
        )
    if mark.dash == other.dash:
        difference = least_difference(mark.color, other.color)
        if difference < LIKENESS:
            yield Complaint(
                ("marks", key, "color"),
                f"{mark.color} and the {other.color} of {earlier_key} have the same dash and differ"
                f" by a CIEDE2000 of only {difference:.1f} to some viewers",
                f"Choose another dash, or colors that differ by {LIKENESS:g} or more under"
                " normal, protan, deutan and tritan vision",
            )
