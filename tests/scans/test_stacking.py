"""Gaps, uneven spacing, tilt and jogs, each told apart from the others."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scans.stacking import describe_stack, doubled, median, typical_step

Z = np.array([0.0, 0.0, 1.0])
TRUE_PLACES = "pictures are sampled where the slices really lie"
BLACK = "reformatted pictures stay black there"


def along_z(distances, sideways=0.0):
    distances = np.asarray(distances, dtype=float)
    return np.column_stack((np.broadcast_to(sideways, distances.shape), 0 * distances, distances))


def shape(distances, thickness=0.0, sideways=0.0):
    positions = along_z(distances, sideways)
    return describe_stack(positions, Z, np.full(len(positions), thickness))


@given(st.lists(st.integers(-32768, 32767), min_size=1, max_size=9))
def test_the_median_is_that_of_numpy(values):
    assert median(np.array(values, np.int16)) == np.median(values)


def test_an_even_stack_has_nothing_to_remark():
    assert shape(np.arange(20) * 2.5, 2.5).remarks == ()


def test_rounding_in_the_header_is_no_unevenness():
    jitter = np.random.default_rng(0).uniform(-0.003, 0.003, 50)
    assert shape(np.arange(50) * 0.7 + jitter, 0.7).remarks == ()


@pytest.mark.parametrize("thickness", [0.0, 1.0])
def test_a_missing_slice_is_a_gap_and_is_counted(thickness):
    found = shape(np.delete(np.arange(20.0), [7]), thickness)
    assert found.gaps == (6,)
    assert found.remarks == (
        f"1 slice is missing after slice 7 (2.00 mm instead of 1.00 mm); {BLACK}",
    )


def test_several_missing_slices_are_counted():
    found = shape(np.delete(np.arange(20.0), [7, 8, 9]), 1.0)
    assert found.gaps == (6,)
    assert found.remarks[0].startswith("3 slices are missing after slice 7 (4.00 mm instead of")


def test_a_step_that_is_no_multiple_is_a_gap_without_a_count():
    distances = np.r_[np.arange(10.0), 20.4 + np.arange(10)]
    assert shape(distances, 1.0).remarks == (
        f"nothing was scanned between slices 10 and 11 (11.40 mm instead of 1.00 mm); {BLACK}",
    )


def test_a_slice_missing_between_slices_thick_enough_to_cover_it_is_uneven_spacing():
    found = shape(np.delete(np.arange(20.0), [7]), 3.0)
    assert found.gaps == ()
    assert found.remarks[0] == (
        f"the spacing of the slices is uneven, 1.00 to 2.00 mm; {TRUE_PLACES}"
    )


def test_two_spacings_in_one_series_are_uneven_and_no_gap():
    # steps of a real head series: 13 x 4.002, 1.081, 13 x 6.999 mm
    steps = np.r_[np.full(13, 4.002), 1.081, np.full(13, 6.999)]
    positions = along_z(np.r_[0, np.cumsum(steps)])
    found = describe_stack(positions, Z, np.r_[np.full(14, 4.0), np.full(14, 7.0)])
    assert found.gaps == ()
    assert found.remarks == (
        f"the spacing of the slices is uneven, 1.08 to 7.00 mm; {TRUE_PLACES}",
    )


def test_slices_more_than_twice_their_thickness_apart_have_gaps_between_them():
    assert shape(np.arange(12) * 2.0, 1.0).gaps == ()
    found = shape(np.arange(12) * 10.0, 1.0)
    assert found.gaps == tuple(range(11))
    assert found.remarks == (
        "slices 1 mm thick lie up to 10.00 mm apart; reformatted pictures stay black between them",
    )


def test_slices_with_room_between_them_are_interpolated_with_a_remark():
    found = shape(np.arange(12) * 5.0, 4.0)
    assert found.gaps == ()
    assert found.remarks == (
        "slices 4 mm thick lie up to 5.00 mm apart; what a reformatted picture shows between them"
        " is interpolated",
    )


def test_slices_that_overlap_are_remarked():
    # a real tilted series: 2.5 mm thick, 2.371 mm apart
    assert shape(np.arange(12) * 2.371, 2.5).remarks == (
        "slices 2.5 mm thick lie 2.37 mm apart and overlap: each shows part of what its neighbours"
        " show",
    )


def test_a_thickness_rounded_in_the_header_is_no_overlap_and_no_room():
    for thickness in (0.62, 0.63):
        assert shape(np.arange(12) * 0.625, thickness).remarks == ()


@pytest.mark.parametrize("degrees", [18.5, -16.5, 0.5])
def test_a_tilt_is_remarked_by_its_angle(degrees):
    distances = np.arange(30) * 2.5
    found = shape(distances, 2.5, distances * np.tan(np.radians(degrees)))
    assert found.remarks == (f"the gantry was tilted by {abs(degrees):.1f} degrees; {TRUE_PLACES}",)


def test_a_table_jog_is_not_a_tilt():
    distances = np.arange(30) * 2.5
    found = shape(distances, 2.5, np.where(distances > 30, 2.0, 0.0))
    assert len(found.remarks) == 1
    assert found.remarks[0].startswith("the slices do not lie on one straight line (up to 1.")


def test_doubles_are_found_within_a_hundredth_of_the_spacing():
    distances = np.sort(np.r_[np.arange(10) * 2.5, 5.02, 7.53])
    assert doubled(distances).tolist() == [2]
    assert doubled(np.arange(10.0)).tolist() == []


def test_the_typical_step_ignores_doubles_and_outliers():
    assert typical_step(np.array([0, 0, 1, 1, 2, 2, 3, 3, 40.0])) == 1
    assert typical_step(np.array([5.0])) == 0
