"""What a view asks for, from the series it asks it of: planes of a stack, or plain pictures."""

from collections.abc import Sequence

from slidekit.scans.geometry import grid_of_slice
from slidekit.scans.model import Grid, PlaneImage, PlaneRequest, PlannedPlane, ScanPicture, Series
from slidekit.scans.pages import page_grid, planned_page, read_page
from slidekit.scans.planes.read import planned_plane, read_planes


def planned_view(series: Series, request: PlaneRequest) -> PlannedPlane:
    """Where a picture will lie and which slices it needs, before any pixel is read.

    Raises
    ------
    ScanError
        If it cannot; the message says what it can show.
    """
    if request.plane == "picture":
        return planned_page(series, request)
    return planned_plane(series, request)


def read_views(
    series: Series, requests: Sequence[PlaneRequest], *, find_ends: bool = False
) -> tuple[PlaneImage, ...]:
    """Read planes (in one pass over the files, see `read_planes`) and plain pictures of a series.

    Returns
    -------
    tuple of PlaneImage
        In the order of the requests.

    Raises
    ------
    ScanError
        If a request cannot be met or a file cannot be read.
    """
    through = [request for request in requests if request.plane != "picture"]
    planes = iter(read_planes(series, through, find_ends=find_ends) if through else ())
    return tuple(
        read_page(series, request) if request.plane == "picture" else next(planes)
        for request in requests
    )


def pixel_grid(picture: ScanPicture | PlannedPlane, series: Series) -> Grid | None:
    """The grid whose pixels an author counts on a picture: that of the stored image.

    None for planes through a stack, which have no pixels of the scan.
    """
    if picture.plane == "picture":
        return page_grid(series)
    if picture.plane == "acquired" and picture.slice_number is not None:
        return grid_of_slice(series, picture.slice_number - 1)
    return None
