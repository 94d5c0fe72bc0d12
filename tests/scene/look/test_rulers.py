"""Numbers along the edges of a picture."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import Grid, Series, SliceFile
from slidekit.scene.look.rulers import Ruler, marks_on, rulers_of
from tests.scene.builders import AXIAL, axial_picture

TILTED = (0.0, 0.9271884, -0.3745953)  # 22 degrees


def _series(grid: Grid) -> Series:
    """One slice that lies on `grid`, with pixels four times as large."""
    return Series(
        uid="1.2.3",
        description="",
        number=1,
        modality="CT",
        frame_of_reference_uid="1.2",
        kind="single",
        slices=(SliceFile(None, 0, "1.2.3.1", grid.origin_lps, 1.0, 0.0, 0, 0),),
        rows=grid.rows // 4,
        columns=grid.columns // 4,
        row_spacing_mm=4 * grid.row_mm,
        column_spacing_mm=4 * grid.column_mm,
        row_lps=grid.right_lps,
        column_lps=grid.down_lps,
        unit="HU",
        inverted=False,
        stored_window=None,
        padding=None,
        thickness_mm=None,
    )


def test_a_standard_plane_has_its_two_patient_axes() -> None:
    rulers = rulers_of(axial_picture(), _series(AXIAL))
    # 400 by 320 pixels of 0.5 mm; the first is centred at x -100, y -80
    assert rulers.across == (Ruler("x", -100.25, 99.75),)
    assert rulers.down == (Ruler("y", -80.25, 79.75),)


def test_a_coronal_plane_counts_z_downwards() -> None:
    grid = replace(AXIAL, down_lps=(0.0, 0.0, -1.0))
    rulers = rulers_of(axial_picture(grid, plane="coronal"), _series(grid))
    assert rulers.down == (Ruler("z", 30.25, -129.75),)


def test_an_acquired_slice_has_pixels_of_the_slice_and_patient_axes() -> None:
    picture = axial_picture(plane="acquired", slice_number=1)
    rulers = rulers_of(picture, _series(AXIAL))
    column, x = rulers.across
    row, y = rulers.down
    assert (column.name, row.name, x.name, y.name) == ("column", "row", "x", "y")
    # four picture pixels to one of the slice; both first pixels are centred in the same place
    assert (column.first, column.last) == (pytest.approx(-0.125), pytest.approx(99.875))
    assert (row.first, row.last) == (pytest.approx(-0.125), pytest.approx(79.875))


def test_a_tilted_slice_has_pixels_only() -> None:
    grid = replace(AXIAL, down_lps=TILTED)
    rulers = rulers_of(axial_picture(grid, plane="acquired", slice_number=1), _series(grid))
    assert [ruler.name for ruler in (*rulers.across, *rulers.down)] == ["column", "row"]


@given(st.floats(-0.5, 399.5), st.floats(-0.5, 319.5))
def test_a_ruler_reads_what_geometry_says(column: float, row: float) -> None:
    x, y, _ = lps_from_pixel(AXIAL, [(column, row)])[0]
    rulers = rulers_of(axial_picture(), _series(AXIAL))
    assert rulers.across[0].at_share(x) == pytest.approx((column + 0.5) / 400)
    assert rulers.down[0].at_share(y) == pytest.approx((row + 0.5) / 320)


@given(
    first=st.floats(-500, 500),
    span=st.floats(2, 1000),
    length_mm=st.floats(60, 240),
    up=st.booleans(),
)
def test_numbers_are_round_on_the_picture_and_apart(
    first: float, span: float, length_mm: float, up: bool
) -> None:
    ruler = Ruler("x", first, first + span if up else first - span)
    marks = marks_on(ruler, length_mm)
    at_mm = sorted(ruler.at_share(value) * length_mm for value in marks.major)
    assert len(at_mm) >= 1
    assert all(-1e-6 <= at <= length_mm + 1e-6 for at in at_mm)
    assert all(later - earlier >= 15 - 1e-6 for earlier, later in pairwise(at_mm))
    assert not set(marks.major) & set(marks.minor)


def test_a_ruler_from_minus_20_to_180_counts_by_twenties() -> None:
    marks = marks_on(Ruler("y", -20.0, 180.0), 200.0)
    assert marks.major == tuple(float(value) for value in range(-20, 181, 20))
    assert marks.minor[:4] == (-18.0, -16.0, -14.0, -12.0)


def test_pixels_are_never_divided() -> None:
    marks = marks_on(Ruler("column", -0.5, 7.5), 200.0)
    assert marks.major == (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0)
    assert marks.minor == ()
