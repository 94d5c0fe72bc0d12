import numpy as np
import pytest

from slidekit.scans.catalogue import index_folder
from slidekit.scans.measures.on_planes import AreaMeasure, measure_area, sample_profile
from slidekit.scans.measures.outlines import Contour
from slidekit.scans.measures.scale_ends import scale_ends
from tests.scans.dicom_series import Attributes, write_series
from tests.scans.plane_images import ellipse_on, image_of, polygon_on

VALUES = np.random.default_rng(3).integers(0, 200, (40, 40)).astype(np.int16)


def measured(outline: Contour, values=VALUES, ends=None, **changes) -> AreaMeasure:
    return measure_area(image_of(values, **changes), outline, ends)


def disc(radius: float, x: float = 20.0, y: float = 20.0) -> Contour:
    return ellipse_on(image_of(VALUES).grid, (x, y), (radius, radius))


def said(measure: AreaMeasure) -> list[str]:
    return [caution.text for caution in measure.cautions]


def test_a_large_region_of_ordinary_values_raises_no_caution():
    assert said(measured(disc(9.3))) == []


def test_few_samples_are_a_caution():
    assert said(measured(disc(2.6))) == ["only 21 samples lie in it"]


def test_fewer_than_nine_samples_have_no_standard_deviation():
    measure = measured(disc(1.3))
    assert (measure.statistics.n, measure.statistics.sd) == (5, None)
    assert "fewer than 9 samples give no standard deviation" in said(measure)


def test_a_region_between_the_samples_has_no_statistics():
    measure = measured(disc(0.2, 20.5, 20.5))
    assert (measure.statistics, said(measure)) == (None, ["no sample of the scan lies in it"])


@pytest.mark.parametrize(("width", "thin"), [(1.5, True), (1.9, True), (2.3, False), (4, False)])
def test_a_strip_is_thin_when_no_place_in_it_is_a_pixel_from_its_edge(width, thin):
    corners = [(3.2, 10.3), (36.1, 10.3), (36.1, 10.3 + width), (3.2, 10.3 + width)]
    measure = measured(polygon_on(image_of(VALUES).grid, corners))
    assert ("it is thinner than two pixels" in said(measure)) is thin


def test_a_bent_strip_is_as_thin_as_a_straight_one():
    # its least Feret diameter is 30 pixels
    corners = [(5, 35), (5, 5), (35, 5), (35, 6.5), (6.5, 6.5), (6.5, 35)]
    measure = measured(polygon_on(image_of(VALUES).grid, np.array(corners) + 0.3))
    assert "it is thinner than two pixels" in said(measure)


def test_the_edge_of_a_square_is_its_outermost_ring_of_samples():
    corners = [(9.6, 9.6), (19.6, 9.6), (19.6, 19.6), (9.6, 19.6)]
    measure = measured(polygon_on(image_of(VALUES).grid, corners))
    # ten by ten samples; those at the left and top lie 0.4 from the outline, the others 0.6
    assert measure.edge_share == pytest.approx(19 / 100)


@pytest.mark.parametrize(
    ("ends", "top", "clipped"),
    [(None, 3071, 4), ((-1024.0, 3071.0), 3071, 4), ((-1024.0, 2000.0), 2000, 4), (None, 3000, 0)],
)
def test_samples_at_the_end_of_the_scale_are_counted(ends, top, clipped):
    values = VALUES.copy()
    values[18:20, 18:20] = top
    measure = measured(disc(9.3), values, ends)
    assert measure.clipped == clipped
    share = "1% of its samples hold values at the end of the scale"
    assert (share in said(measure)) is (clipped > 0)


def test_a_usual_end_with_values_beyond_it_is_no_end():
    values = VALUES.copy()
    values[18, 18], values[18, 19] = 3071, 9000
    assert measured(disc(9.3), values).clipped == 0


def test_air_at_the_lower_end_is_clipped_and_the_black_of_mr_is_not():
    dark = np.full((40, 40), -1024, np.int16)
    assert measured(disc(9.3), dark).clipped > 200
    assert measured(disc(9.3), dark * 0, (0.0, 4095.0), unit="").clipped == 0


def test_padding_is_counted_and_enters_no_number():
    absent = np.zeros(VALUES.shape, bool)
    absent[:, 20:] = True
    values = np.where(absent, -2000, 100).astype(np.int16)
    measure = measured(disc(9.3), values, absent=absent)
    assert (measure.statistics.mean, measure.statistics.sd) == (100, 0)
    assert said(measure) == [f"{measure.absent} of its samples are padding and left out"]


def test_a_region_beyond_the_edge_of_its_view_says_so():
    assert said(measured(disc(6.3, 2, 20))) == ["it reaches beyond the edge of its view"]


def test_extremes_through_a_slab_are_not_called_values():
    measure = measured(disc(9.3), slab_mm=5.0, slab="max")
    assert said(measure) == ["its values are the greatest through 5 mm, not what is there"]


def test_a_profile_stops_where_there_is_no_sample():
    absent = np.zeros(VALUES.shape, bool)
    absent[20, 10] = True
    profile = sample_profile(image_of(VALUES, absent=absent), [(8, 20, 0), (12, 20, 0)])
    assert profile.values == (VALUES[20, 8], VALUES[20, 9], None, VALUES[20, 11], VALUES[20, 12])


def test_a_profile_between_columns_is_linear():
    profile = sample_profile(image_of(VALUES), [(8.5, 20, 0), (9.5, 20, 0)])
    assert profile.values[0] == (float(VALUES[20, 8]) + float(VALUES[20, 9])) / 2


def test_the_ends_of_the_scale_come_from_the_stored_bits(tmp_path):
    stored = np.full((3, 4, 4), 1000, np.uint16)
    attributes = {"BitsStored": 12, "HighBit": 11, "RescaleIntercept": -1024}
    folder = write_series(tmp_path, stored, attributes=Attributes(attributes))
    assert scale_ends(index_folder(folder).series[0]) == (-1024, 3071)
