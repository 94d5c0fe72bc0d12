"""The synthetic urn is the same everywhere, and each material has the CT number it should."""

import os
import subprocess
import sys

import pytest

TRIAL = """
import hashlib
from slidekit.scans.demo import load_generator
synthesize = load_generator()
digest = hashlib.sha256()
for series, indices in (("urn", (40, 189)), ("urn-fine", (53,))):
    make = synthesize.slice_maker(series)
    for index in indices:
        digest.update(make(index).tobytes())
print(digest.hexdigest())
"""


def digest_of_a_few_slices(**environment: str) -> str:
    """Of slices with seal, coil and all textures, made by a fresh process."""
    ran = subprocess.run(
        [sys.executable, "-c", TRIAL],
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.strip()


def test_two_processes_make_the_same_bytes_with_and_without_vector_instructions():
    from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__  # noqa: PLC0415 - private, so only where it is needed

    vector = [name for name in __cpu_dispatch__ if __cpu_features__.get(name)]
    plain = digest_of_a_few_slices(NPY_DISABLE_CPU_FEATURES=" ".join(vector))
    assert digest_of_a_few_slices() == plain


def test_values_fill_twelve_bits_and_no_more(slice_at):
    hu = slice_at("urn", -62.0).hu
    assert hu.min() >= -1024
    assert hu.max() == 3071  # the wire lies beyond the end of the scale


MATERIALS = [  # place in mm, radius of the sample, published or computed range in HU
    # clay between its temper and pores, by density 1.85
    pytest.param("urn", (-98.5, 2.0, 0.0), 2.2, (1050, 1350), id="wall"),
    pytest.param("urn", (6.5, -81.5, -34.0), 2.2, (930, 1040), id="plug"),
    pytest.param("urn", (2.0, -89.5, 89.0), 2.0, (-20, 60), id="tar"),
    pytest.param("urn", (66.5, 64.5, 89.0), 2.0, (-90, -35), id="wax"),
    pytest.param("urn", (0.0, 0.0, 90.0), 20.0, (-1010, -985), id="air under the lid"),
    pytest.param("urn", (30.0, 30.0, 3.0), 8.0, (590, 690), id="silt"),
    pytest.param("urn", (0.0, 122.0, -110.0), 3.0, (-420, -230), id="wood of the board"),
]


@pytest.mark.parametrize(("series", "place", "radius", "expected"), MATERIALS)
def test_a_material_has_its_ct_number_where_it_should_be(slice_at, series, place, radius, expected):
    x, y, z = place
    mean = slice_at(series, z).within(x, y, radius).mean()
    assert expected[0] <= mean <= expected[1]
