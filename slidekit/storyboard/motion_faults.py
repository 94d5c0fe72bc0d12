"""What speaks against a picture's moving by itself."""

from collections.abc import Iterator

from slidekit.storyboard.views import ShownView, View
from slidekit.storyboard.windows import SplitWindow

SCROLLED = ("acquired", "axial", "coronal", "sagittal")


def motion_complaints(shown: ShownView, view: View) -> Iterator[tuple[str, tuple[str, str]]]:
    """For each fault the field of the shown view, what is wrong, and what to write instead."""
    if shown.cine is not None and shown.turntable is not None:
        yield "turntable", ("a picture that turns cannot scroll as well", "Remove one of the two")
    field = "cine" if shown.cine is not None else "turntable"
    if shown.cine is None and shown.turntable is None:
        return
    if isinstance(view.window, SplitWindow):
        wrong = f"`{shown.view}` has a window for each half, and a moving picture has one"
        yield field, (wrong, "Give the view one window, or let it stand still")
    if shown.cine is not None and view.plane not in SCROLLED:
        wrong = f"`{shown.view}` has the plane {view.plane}, which has no next one"
        yield field, (wrong, "Use an acquired, axial, coronal or sagittal view")
    if shown.cine is not None and shown.cine.from_slice is not None and view.slice is None:
        wrong = f"`from_slice` counts acquired slices, and `{shown.view}` is written in millimetres"
        yield field, (wrong, "Write `from_mm` and `to_mm`")
    if shown.cine is not None and shown.cine.from_mm is not None and view.slice is not None:
        wrong = f"`from_mm` is in millimetres, and `{shown.view}` is written as a slice"
        yield field, (wrong, "Write `from_slice` and `to_slice`")
    if shown.turntable is not None:
        yield from _about_turning(shown, view)


def _about_turning(shown: ShownView, view: View) -> Iterator[tuple[str, tuple[str, str]]]:
    if view.plane != "coronal" or view.slab != "max" or view.slab_mm == 0:
        wrong = f"`{shown.view}` is no projection that could turn"
        instead = "Use a coronal view with `slab: max` and `slab_mm`, the depth of the box"
        yield "turntable", (wrong, instead)
    if shown.regions:
        wrong = "marks would stay where they are while the picture turns"
        yield "regions", (wrong, "Show the regions on a view that stands still")
    if shown.inset is not None:
        wrong = "the part shown larger would stand still while the picture turns"
        yield "inset", (wrong, "Remove one of the two")
