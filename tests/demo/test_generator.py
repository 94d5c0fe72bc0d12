"""The synthetic urn is the same everywhere, and each material has the CT number it should."""

import os
import subprocess
import sys

import numpy as np
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


PINNED = "a032ddd7bb1384aea4f74dd0433a69950cd6cecb1dce36ae322702b59d54cb0b"
"""Of what `TRIAL` makes. Whoever means to change the pictures changes this too, and looks at every
outline of the storyboards again."""


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


def test_every_process_makes_the_same_bytes_with_and_without_vector_instructions():
    found = np.show_config(mode="dicts")["SIMD Extensions"].get("found", [])
    assert digest_of_a_few_slices(NPY_DISABLE_CPU_FEATURES=" ".join(found)) == PINNED
    assert digest_of_a_few_slices() == PINNED


def test_values_fill_twelve_bits_and_no_more(slice_at):
    hu = slice_at("urn", -62.0).hu
    assert hu.min() >= -1024
    assert hu.max() == 3071  # the wire lies beyond the end of the scale


# Ranges about CT numbers computed for 70 keV from elemental attenuation tables (Elam, Ravel and
# Sieber, Radiat. Phys. Chem. 2002; 63:121-128) for these compositions and densities; 4 % of density
# to either side, and for mixtures the share of air that the comment names.
MATERIALS = [
    # kaolinite (1807 at 2.60 g/cm3) fired to 1.85 to 2.1 g/cm3, with temper and pores
    pytest.param("urn", (-98.5, 2.0, 0.0), 2.2, (1000, 1350), id="wall"),
    # kaolinite at 1.75 to 1.9 g/cm3
    pytest.param("urn", (6.5, -81.5, -34.0), 2.2, (890, 1050), id="plug"),
    # pine resin (abietic acid, 17 at 1.07 g/cm3)
    pytest.param("urn", (2.0, -89.5, 89.0), 2.0, (-24, 58), id="tar"),
    # beeswax (-63 at 0.96 g/cm3)
    pytest.param("urn", (66.5, 64.5, 89.0), 2.0, (-100, -26), id="wax"),
    pytest.param("urn", (0.0, 0.0, 90.0), 20.0, (-1010, -985), id="air under the lid"),
    # quartz (1960 at 2.65 g/cm3), 53 to 58 % of it, the rest air
    pytest.param("urn", (30.0, 30.0, 3.0), 8.0, (560, 715), id="silt"),
    # dry oak (-345 at 0.70 g/cm3), with some glue
    pytest.param("urn", (0.0, 122.0, -110.0), 3.0, (-370, -230), id="wood of the board"),
]


@pytest.mark.parametrize(("series", "place", "radius", "expected"), MATERIALS)
def test_a_material_has_its_ct_number_where_it_should_be(slice_at, series, place, radius, expected):
    x, y, z = place
    mean = slice_at(series, z).within(x, y, radius).mean()
    assert expected[0] <= mean <= expected[1]
