"""Names that lead nowhere, and coordinates that do not go with their view.

What is defined and never used is no fault.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from slidekit.errors import Fault
from slidekit.storyboard.glossary import complaints_about_glossary
from slidekit.storyboard.names.account import complaints_about_account
from slidekit.storyboard.names.evidence import complaints_about_findings, faults_of_evidence
from slidekit.storyboard.names.lookup import (
    REGIONS,
    SCANS,
    SPOKEN,
    VIEWS,
    Definitions,
    Section,
    complaint_about,
    definitions,
)
from slidekit.storyboard.names.naming import listed, nearest, with_article
from slidekit.storyboard.names.numbers import complaints_about_numbers
from slidekit.storyboard.names.readings import complaints_about_readings
from slidekit.storyboard.names.slides import faults_of_pages
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.planes import complaints_about_plane
from slidekit.storyboard.regions import ArrowRegion, LineRegion, PointRegion, Region, RegionBase
from slidekit.storyboard.source import Source
from slidekit.storyboard.source_fields import complaints_about_source_fields
from slidekit.storyboard.views import CROPS, View
from slidekit.storyboard.windows import AutomaticWindow, OneWindow, halves_of

_AXIS_OF = {"axial": "z", "coronal": "y", "sagittal": "x"}

_Complaint = tuple[FieldPath, str, str]


def find_name_faults(
    source: Source, *, marks: Collection[str], windows: Collection[str], style_name: str
) -> tuple[Fault, ...]:
    """Every fault that shows only when the parts of a storyboard, and its style, are held together.

    `marks` and `windows` are the keys that the style `style_name` has. The faults are in the order
    of the files.
    """
    look = _Look(marks, windows, style_name)
    defined = definitions(source.board)
    complaints: list[_Complaint] = [
        *_about_spoken_names(defined),
        *complaints_about_findings(source.board, defined),
        *complaints_about_numbers(source.board, defined),
        *complaints_about_account(source.board, defined),
        *complaints_about_readings(defined),
        *complaints_about_glossary(source.board.glossary),
        *complaints_about_source_fields(source.board),
        *_about_needs(source),
    ]
    for name, view in source.board.views.items():
        complaints += _about_view(("views", name), view, defined, look)
    for name, region in source.board.regions.items():
        complaints += _about_region(("regions", name), region, source, look)
    for name, volume in source.board.volumes.items():
        complaints += _unknown(("volumes", name, "scan"), volume.scan, (SCANS,), defined)
    faults = [source.places.fault(*complaint) for complaint in complaints]
    faults += faults_of_pages(source, defined, marks)
    faults += faults_of_evidence(source, defined)
    own_first = {path: i for i, path in enumerate(source.files)}
    return tuple(sorted(faults, key=lambda f: (own_first.get(f.file, 0), f.line)))


@dataclass(frozen=True)
class _Look:
    """What the style has."""

    marks: Collection[str]
    windows: Collection[str]
    style_name: str

    def unknown(self, name: str, what: str, known: Collection[str]) -> tuple[str, str]:
        wrong = f"the style `{self.style_name}` has no {what} `{name}`"
        if meant := nearest(name, known):
            return wrong, f"Write `{meant}` if you mean that; it has {listed(known)}"
        return wrong, f"It has {listed(known)}"


def _unknown(
    path: FieldPath, name: str, sections: tuple[Section, ...], defined: Definitions
) -> Iterator[_Complaint]:
    if complaint := complaint_about(name, sections, defined):
        yield path, *complaint


def _about_spoken_names(defined: Definitions) -> Iterator[_Complaint]:
    """`{seal}` must not be a region and an event at once."""
    seen: dict[str, Section] = {}
    for section in SPOKEN:
        for name in defined[section]:
            if name in seen:
                wrong = f"`{name}` is also a name in `{'.'.join(seen[name])}`"
                yield (*section, name), wrong, "Rename one of the two: words and findings use both"
            seen.setdefault(name, section)


def _about_needs(source: Source) -> Iterator[_Complaint]:
    """A slide can refer back, not forward."""
    earlier: list[str] = []
    ids = [slide.id for slide in source.slides]
    for at, slide in enumerate(source.slides):
        for i, name in enumerate(slide.needs):
            if name in earlier:
                continue
            wrong = f"there is no slide `{name}`"
            if name in ids:
                wrong = f"slide `{name}` does not come before this one"
            instead = f"Write one of {listed(earlier)}" if earlier else "Remove it"
            yield ("slides", at, "needs", i), wrong, instead
        earlier.append(slide.id)


def _about_view(
    path: FieldPath, view: View, defined: Definitions, look: _Look
) -> Iterator[_Complaint]:
    yield from _unknown((*path, "scan"), view.scan, (SCANS,), defined)
    for below, window in halves_of(view.window):
        yield from _about_window((*path, "window", *below), window, (view, defined, look))
    if view.crop_around is not None:
        yield from _unknown(
            (*path, "crop_around", "region"), view.crop_around.region, (REGIONS,), defined
        )
    for field, wrong, instead in complaints_about_plane(view, view.plane):
        yield (*path, field), wrong, instead
    if view.window is None and view.plane != "picture":
        instead = f"Add it: one of {listed(look.windows)}, or {{center: 40, width: 400}}"
        yield (*path, "window"), "is missing", instead
    if view.plane == "picture":
        yield from _about_picture(path, view)
    elif view.plane in _AXIS_OF:
        axis = _AXIS_OF[view.plane]
        if view.slice is not None:
            wrong = f"`slice` counts acquired slices, and the plane is {view.plane}"
            yield (*path, "slice"), wrong, f"Write `at_mm` (patient {axis}), or `plane: acquired`"
        elif view.at_mm is None:
            instead = f"Add it: the place of the plane along patient {axis}, as in `at_mm: 12.5`"
            yield (*path, "at_mm"), "is missing", instead
    elif view.plane == "acquired" and view.slice is not None and view.at_mm is not None:
        wrong = "`slice` and `at_mm` are both given"
        yield (*path, "slice"), wrong, "Write one of the two"


def _about_window(
    path: FieldPath, window: OneWindow, around: tuple[View, Definitions, _Look]
) -> Iterator[_Complaint]:
    view, defined, look = around
    if isinstance(window, str) and window not in look.windows:
        wrong, instead = look.unknown(window, "window", look.windows)
        yield path, wrong, f"{instead}. Or write {{center: 40, width: 400}}"
    if not isinstance(window, AutomaticWindow) or window.region is None:
        return
    path, name = (*path, "region"), window.region
    yield from _unknown(path, name, (REGIONS,), defined)
    region = defined[REGIONS].get(name)
    if isinstance(region, ArrowRegion | LineRegion | PointRegion):
        wrong = f"`{name}` is {with_article(region.shape)}, which has no inside"
        yield path, wrong, "Name an ellipse, a rectangle or a polygon"
    elif isinstance(region, RegionBase):
        own = defined[VIEWS].get(region.view)
        if isinstance(own, View) and not _same_plane(own, view):
            wrong = f"`{name}` belongs to the view `{region.view}`, which shows another plane"
            yield path, wrong, "Name a region of this view, or leave `region` out"


_OF_NO_PLANE = {"window", *CROPS, "overlays", "slab_mm", "slab"}


def _same_plane(one: View, other: View) -> bool:
    """Whether two views show one plane of one scan, however thick, cropped or windowed."""
    fields = View.model_fields.keys() - _OF_NO_PLANE
    return all(getattr(one, field) == getattr(other, field) for field in fields)


def _about_picture(path: FieldPath, view: View) -> Iterator[_Complaint]:
    wrong = "a picture without a place in a patient has none"
    if view.at_mm is not None:
        yield (*path, "at_mm"), wrong, "Remove it"
    if view.crop_mm is not None:
        yield (*path, "crop_mm"), wrong, "Write `crop_px` (pixels of the upright picture)"
    if view.slab_mm:
        yield (*path, "slab_mm"), wrong, "Remove it"


def _about_region(
    path: FieldPath, region: Region, source: Source, look: _Look
) -> Iterator[_Complaint]:
    defined = definitions(source.board)
    yield from _unknown((*path, "view"), region.view, (VIEWS,), defined)
    if region.color is not None and region.color not in look.marks:
        wrong, instead = look.unknown(region.color, "mark", look.marks)
        yield (*path, "color"), wrong, instead
    view = source.board.views.get(region.view)
    if view is None:
        return
    for field, points in _coordinates(region):
        in_mm = field.removesuffix("_px") + "_mm"
        if field.endswith("_mm") and view.plane == "picture":
            wrong = f"`{field}` is a place in a patient, and `{region.view}` is a picture"
            in_px = field.removesuffix("_mm") + "_px"
            yield (*path, field), wrong, f"Write `{in_px}` (pixels of the upright picture)"
        elif field.endswith("_px") and view.plane not in ("acquired", "picture"):
            wrong = f"`{field}` counts pixels of an acquired slice, and `{region.view}` is"
            yield (*path, field), f"{wrong} {view.plane}", f"Write `{in_mm}` (patient millimetres)"
        elif view.plane == "acquired" and field.endswith("_mm"):
            for step, point in points:
                if len(point) == 2:
                    wrong = f"two numbers do not fix a place: `{region.view}` is an acquired slice"
                    in_px = field.removesuffix("_mm") + "_px"
                    instead = f"Write patient x, y and z, or `{in_px}` (pixels)"
                    yield (*path, field, *step), wrong, instead


_PLACE_FIELDS = ("center", "points", "tail", "tip", "from", "to", "vertex", "arms", "at")

_Placed = tuple[tuple[int, ...], tuple[float, ...]]


def _coordinates(region: Region) -> Iterator[tuple[str, tuple[_Placed, ...]]]:
    """The fields of a region that hold places, each place with its steps below the field."""
    for stem in _PLACE_FIELDS:
        for unit in ("mm", "px"):
            value = vars(region).get(f"{stem}_{unit}")
            if value is None:
                continue
            if stem in ("points", "arms"):
                yield f"{stem}_{unit}", tuple(((i,), point) for i, point in enumerate(value))
            else:
                yield f"{stem}_{unit}", (((), value),)
