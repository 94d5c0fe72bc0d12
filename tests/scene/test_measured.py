import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scans.measures.on_planes import EXTREMES, AngleMeasure, Caution, LineMeasure, caution
from slidekit.scans.measures.volumes import VolumeMeasure
from slidekit.scene.measured import Quantity, spoken_measure, spoken_volume, written
from slidekit.wording import speak_in
from tests.scene.builders import measured_area


# the place of the first digit of the uncertainty (JCGM 100:2008, 7.2.6), at most three digits
@pytest.mark.parametrize(
    ("value", "error", "finest", "expected"),
    [
        (1934.2, 12.0, 1, "1,930"),
        (1934.2, 4.0, 1, "1,930"),
        (934.2, 4.0, 1, "934"),
        (-64.73, 1.2, 1, "−65"),
        (-0.3, 1.2, 1, "0"),
        (9.46, 0.5, 0, "9.5"),
        (184.2, 0.98, 0, "184"),
        (24.1, 2.9, 0, "24"),
        (396.0, 12.0, 0, "400"),
        (0.0, 0.0, 0, "0"),
        (0.03128, 0.0004, 0, "0.0313"),
        (31.2410, 0.66, 0, "31.2"),
    ],
)
def test_a_number_is_as_fine_as_it_is_known(value, error, finest, expected):
    assert Quantity(value, error, finest).written == expected


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e3))
def test_what_rounding_takes_away_is_within_the_uncertainty_or_the_third_digit(value, error):
    text = Quantity(value, error).written.replace(",", "").replace("−", "-")
    third = 10.0 ** (math.floor(math.log10(abs(value))) - 2) if value else 0.0
    assert abs(float(text) - value) <= max(error, third) / 2 * (1 + 1e-9)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("mean", "40 HU"),
        ("sd", "12 HU"),
        ("median", "40 HU"),
        ("min", "0 HU"),
        ("max", "80 HU"),
        ("n", "500"),
        ("area", "100 square millimetres"),
        ("perimeter", "35.4 mm"),
        ("feret", "11.3 mm"),
    ],
)
def test_a_number_is_said_with_its_unit(part, words):
    assert spoken_measure(measured_area(), part, "coil") == words


def test_large_areas_are_said_in_square_centimetres():
    assert spoken_measure(measured_area(area_mm2=1234.0), "area", "coil") == (
        "12.3 square centimetres"
    )


def test_values_without_a_unit_are_said_without_one():
    assert spoken_measure(measured_area(unit="", mean=518.88), "mean", "coil") == "519"


def test_lengths_and_angles_are_said():
    assert spoken_measure(LineMeasure(31.2410, 0.66), "length", "gap") == "31.2 mm"
    assert spoken_measure(AngleMeasure(32.0054, 1.3), "angle", "lean") == "32 degrees"


def test_least_and_greatest_are_exact():
    measure = measured_area(mean=3031.0)
    assert written(measure, "max", "coil") == "3,071"


def test_what_speaks_against_a_number_is_said_in_one_breath():
    cautions = (Caution("few", "only 12 samples lie in it"), Caution("thin", "it is thin"))
    measure = measured_area(cautions=cautions)
    assert spoken_measure(measure, "warning", "coil") == "only 12 samples lie in it and it is thin"


def test_what_speaks_against_a_number_is_said_in_the_language_of_the_talk():
    speak_in("de")
    slab = caution("extremes", EXTREMES["max"], mm=f"{2.5:g}")
    edge = caution("edge", "{percent}% of its samples lie on its edge", percent=47)
    measure = measured_area(cautions=(slab, replace(edge, within="der Draht")))
    assert spoken_measure(measure, "warning", "coil") == (
        "die Werte sind die größten auf 2,5 mm, nicht das, was dort ist"
        " und 47\N{NO-BREAK SPACE}% der Messwerte liegen am Rand (der Draht)"
    )
    assert [one.text for one in measure.cautions] == [
        "its values are the greatest through 2.5 mm, not what is there",
        "47% of its samples lie on its edge, in der Draht",
    ]


def test_a_warning_of_nothing_is_refused():
    message = r"^{coil.warning} is said, and nothing speaks against its numbers\. "
    with pytest.raises(FitError, match=message + r"Remove it from the words\.$"):
        spoken_measure(measured_area(), "warning", "coil")


def test_an_sd_of_too_few_samples_is_refused():
    with pytest.raises(
        FitError, match=r"^`coil` holds 7 samples, too few for a standard deviation"
    ):
        spoken_measure(measured_area(n=7, sd=None), "sd", "coil")


def test_values_of_a_region_without_samples_are_refused():
    message = (
        "^no sample of the scan lies in `coil`, so its mean is unknown. Draw the region larger"
    )
    with pytest.raises(FitError, match=message):
        spoken_measure(measured_area(statistics=None), "mean", "coil")


@pytest.mark.parametrize(
    ("volume", "error", "words"),
    [(240.4, 31.0, "240 cubic millimetres"), (3481.0, 410.0, "3.5 cubic centimetres")],
)
def test_volumes_are_said_in_the_unit_that_suits(volume, error, words):
    measure = VolumeMeasure(volume, error, 900, 9000, 0, 2960.4, "HU")
    assert spoken_volume(measure, "volume", "metal") == words
    assert spoken_volume(measure, "n", "metal") == "900"
    assert spoken_volume(measure, "mean", "metal") == "2,960 HU"


def test_the_mean_of_no_voxel_is_refused():
    measure = VolumeMeasure(0.0, 0.0, 0, 9000, 0, None, "HU")
    with pytest.raises(FitError, match=r"^no voxel was counted in `metal`, so its mean is unknown"):
        spoken_volume(measure, "mean", "metal")
