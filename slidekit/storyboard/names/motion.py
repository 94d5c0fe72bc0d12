"""What speaks against a picture's moving by itself."""

from collections.abc import Iterator
from typing import TypeAlias

from slidekit.storyboard.motion import Cine
from slidekit.storyboard.views import ShownView, View

FREE = ("oblique", "curved")

_Complaint: TypeAlias = tuple[str, tuple[str, str]]


def motion_complaints(shown: ShownView, view: View) -> Iterator[_Complaint]:
    """For each fault the field of the shown view, what is wrong, and what to write instead."""
    if shown.cine is not None and shown.turntable is not None:
        yield "turntable", ("a picture that turns cannot scroll as well", "Remove one of the two")
    if shown.inset is not None and (shown.cine is not None or shown.turntable is not None):
        wrong = "the part shown larger would stand still while the picture moves"
        yield "inset", (wrong, "Remove one of the two")
    if shown.cine is not None:
        yield from (("cine", one) for one in _about_way(shown.cine, shown.view, view))
    if shown.turntable is not None:
        yield from _about_turning(shown, view)


def _about_way(cine: Cine, name: str, view: View) -> Iterator[tuple[str, str]]:
    if view.plane == "picture":
        yield f"`{name}` has the plane picture, which has no next one", "Let it stand still"
    elif (view.plane in FREE) != (cine.before_mm is not None):
        wrong = f"`{name}` has the plane {view.plane}, whose way is not written so"
        instead = "Write `before_mm` and `behind_mm`"
        if view.plane not in FREE:
            instead = "Write `from_mm` and `to_mm`, or `from_slice` and `to_slice` for a slice"
        yield wrong, instead
    elif cine.from_slice is not None and view.slice is None:
        wrong = f"`from_slice` counts acquired slices, and `{name}` is written in millimetres"
        yield wrong, "Write `from_mm` and `to_mm`"
    elif cine.from_mm is not None and view.slice is not None:
        wrong = f"`from_mm` is in millimetres, and `{name}` is written as a slice"
        yield wrong, "Write `from_slice` and `to_slice`"


def _about_turning(shown: ShownView, view: View) -> Iterator[_Complaint]:
    if view.plane != "coronal" or view.slab != "max" or view.slab_mm == 0:
        wrong = f"`{shown.view}` is no projection that could turn"
        instead = "Use a coronal view with `slab: max` and `slab_mm`, the depth of the box"
        yield "turntable", (wrong, instead)
    if shown.regions:
        wrong = "marks would stay where they are while the picture turns"
        yield "regions", (wrong, "Show the regions on a view that stands still")
