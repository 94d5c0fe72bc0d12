"""What the image stage is asked for, from what the author wrote of a view."""

from slidekit.errors import ScanError
from slidekit.scans.model import CurvedSurface, PlaneRequest, Pose
from slidekit.scans.planes.poses import pose_across, pose_along, pose_of_points
from slidekit.storyboard.planes import CURVED_FIELDS, OBLIQUE_FIELDS
from slidekit.storyboard.views import CROPS, View

_OF_A_CROP = ("crop", "region", "margin", "of the scan lie in the part")


def plane_request(view: View) -> PlaneRequest:
    """The picture that a view shows.

    Raises
    ------
    ScanError
        If its fields fix no plane: a normal without length, three places on one line.
    """
    return PlaneRequest(
        plane=view.plane,
        at_mm=view.at_mm,
        slice_number=view.slice,
        slab_mm=view.slab_mm,
        slab=view.slab,
        crop_mm=view.crop_mm,
        pose=_pose(view) if view.plane == "oblique" else None,
        surface=_surface(view) if view.plane == "curved" else None,
        overlays=view.overlays,
    )


def _pose(view: View) -> Pose:
    if view.along_mm is not None and view.facing is not None:
        return pose_along(*view.along_mm, view.facing, view.up)
    places = view.through_mm or ()
    if view.normal is not None and len(places) == 1:
        return pose_across(view.normal, places[0], view.up)
    if len(places) == 3:
        return pose_of_points(places, view.up)
    raise ScanError(
        "Nothing says where the oblique plane lies",
        "Write normal and through_mm, three places in through_mm, or along_mm and facing",
    )


def _surface(view: View) -> CurvedSurface:
    if view.path_mm is None or view.across is None or view.width_mm is None:
        raise ScanError(
            "Nothing says where the curved view lies", "Write path_mm, across and width_mm"
        )
    return CurvedSurface(view.path_mm, view.across, view.width_mm, view.path == "smooth")


def blamed_field(error: ScanError, view: View) -> str:
    """The field whose line a complaint about a view should point to."""
    if "plane: picture" in str(error) or "window" in error.wrong:
        return "window" if "window" in error.wrong else "plane"
    if error.wrong.startswith("overlays"):
        return "overlays"
    crop = next((field for field in CROPS if getattr(view, field) is not None), None)
    if crop is not None and any(word in error.wrong for word in _OF_A_CROP):
        return crop
    if view.plane not in ("oblique", "curved"):
        return "slice" if view.slice is not None else "at_mm"
    if "slab" in error.wrong:
        return "slab_mm"
    given = [f for f in (*OBLIQUE_FIELDS, *CURVED_FIELDS) if getattr(view, f) is not None]
    named = [f for f in given if f"{f}:" in error.wrong or (f in error.wrong and "_mm" in f)]
    places = [f for f in ("through_mm", "along_mm", "path_mm") if f in given]
    return next(iter([*named, *places]), "plane")
