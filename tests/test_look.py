"""What `look` says of folders as scanners, exports and colleagues leave them: in plain words."""

import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from slidekit.cli import app
from slidekit.scans.catalogue import choose_series, index_folder
from tests.scans.dicom_series import Attributes, Placement, write_series

SECONDARY_CAPTURE = "1.2.840.10008.5.1.4.1.1.7"
SLICES = range(12)
VOLUME = np.zeros((12, 8, 10), np.int16)


def at(folder: Path, distances: list[float], thickness: float, sideways: float = 0.0) -> None:
    """A series with slices at these places along z, and a sideways step in the middle."""
    places = [(sideways * (k > 5), 0.0, z) for k, z in enumerate(distances)]
    placement = Placement(positions=places)
    attributes = Attributes(every={"SliceThickness": thickness})
    write_series(folder, VOLUME[: len(distances)], placement, attributes)


def tilted(folder: Path) -> None:
    """A gantry tilted by 18.5 degrees: the table moves along z, the slices lean."""
    c, s = np.cos(np.radians(18.5)), np.sin(np.radians(18.5))
    lean = Placement((1, 0, 0, 0, c, -s), step_lps=(0, 0, 2.5))
    write_series(folder, VOLUME, lean, Attributes(every={"SliceThickness": 2.37}))


def phases(folder: Path) -> None:
    for number in (1, 2):
        attributes = Attributes(every={"AcquisitionNumber": number})
        write_series(folder, VOLUME, attributes=attributes, order=[12 * number + k for k in SLICES])


def echoes(folder: Path) -> None:
    for number in (1, 2):
        attributes = Attributes(every={"Modality": "MR", "EchoNumbers": number})
        write_series(folder, VOLUME, attributes=attributes, order=[12 * number + k for k in SLICES])


def with_localizer(folder: Path) -> None:
    write_series(folder, VOLUME)
    sagittal = Placement((0, 1, 0, 0, 0, -1))
    localizer = Attributes(every={"ImageType": ["ORIGINAL", "PRIMARY", "LOCALIZER"]})
    write_series(folder, VOLUME[:1], sagittal, localizer, series=2)


def with_captures(folder: Path) -> None:
    write_series(folder, VOLUME)
    capture = Attributes(every={"SOPClassUID": SECONDARY_CAPTURE})
    write_series(folder, VOLUME[:3], attributes=capture, series=9)


def with_copies(folder: Path) -> None:
    write_series(folder, VOLUME)
    shutil.copytree(folder, folder / "again")
    (folder / "notes.txt").write_text("no scan", encoding="utf-8")


def doubled(folder: Path) -> None:
    at(folder, [*range(6), 5.001, *range(6, 11)], 1.0)
    write_series(folder, VOLUME, series=2)


TROUBLES: dict[str, tuple[Callable[[Path], None], tuple[str, ...]]] = {
    "tilt": (
        tilted,
        (
            "the gantry was tilted by 18.5 degrees;"
            " pictures are sampled where the slices really lie",
        ),
    ),
    "missing slices": (
        lambda folder: at(folder, [0, 1, 2, 3, 4, 5, 9, 10, 11, 12, 13, 14], 1.0),
        ("3 slices are missing after slice 6 (4.00 mm instead of 1.00 mm);",),
    ),
    "uneven spacing": (
        lambda folder: at(folder, [0, 4, 8, 12, 16, 20, 27, 34, 41, 48, 55, 62], 7.0),
        ("the spacing of the slices is uneven, 4.00 to 7.00 mm;",),
    ),
    "overlap": (
        lambda folder: at(folder, list(range(12)), 2.0),
        ("slices 2 mm thick lie 1.00 mm apart and overlap:",),
    ),
    "room between slices": (
        lambda folder: at(folder, [6 * k for k in range(12)], 5.0),
        ("slices 5 mm thick lie up to 6.00 mm apart;",),
    ),
    "thin slices far apart": (
        lambda folder: at(folder, [10 * k for k in range(12)], 1.0),
        ("slices 1 mm thick lie up to 10.00 mm apart; reformatted pictures stay black",),
    ),
    "table jog": (
        lambda folder: at(folder, list(range(12)), 1.0, sideways=2.0),
        ("the slices do not lie on one straight line",),
    ),
    "phases": (phases, ("1/1 (CT, stack, 12 slices", "acquisition 1)", "acquisition 2)")),
    "echoes": (echoes, ("1/2 (MR, stack, 12 slices", "echo 1)", "echo 2)")),
    "localizer": (with_localizer, ("1 (CT, stack, 12 slices", "2 (CT, localizer, 1 slice")),
    "captures": (with_captures, ("1 (CT, stack, 12 slices", "9 (CT, 3 pictures of 10 × 8")),
    "copies": (
        with_copies,
        ("left out: notes.txt: it is not a DICOM file;", "11 more: it is a copy of another file"),
    ),
    "doubled slices": (
        doubled,
        ("2 (CT, stack, 12 slices", "holds images that lie in the same place, S1I0005 and S1I0006"),
    ),
}


@pytest.mark.parametrize("trouble", TROUBLES)
def test_every_trouble_of_a_folder_is_named(trouble, tmp_path):
    make, expected = TROUBLES[trouble]
    make(tmp_path / "scans")
    for _ in range(2):  # from the files, then from what was kept
        arguments = ["look", str(tmp_path / "scans"), "--out", str(tmp_path / "out")]
        result = CliRunner().invoke(app, arguments)
        assert result.exit_code == 0, result.output
        for words in expected:
            assert words in result.output


def test_an_ordinary_folder_has_no_trouble(tmp_path):
    at(tmp_path / "scans", list(range(12)), 1.0)
    arguments = ["look", str(tmp_path / "scans"), "--out", str(tmp_path / "out")]
    first, second = CliRunner().invoke(app, arguments).output.splitlines()
    assert first.startswith("1 (CT, stack, 12 slices of 10 × 8, 1 × 1 × 1 mm)")
    assert second == str(tmp_path / "out" / "series.png")


def test_names_numbers_and_slice_locations_never_decide_the_order(tmp_path):
    order = np.random.default_rng(3).permutation(12)
    some = {
        k: {"InstanceNumber": int(12 - order[k]), "SliceLocation": float(order[k] * 7 % 12)}
        for k in range(12)
    }
    write_series(tmp_path, VOLUME, attributes=Attributes(some=some), order=order.tolist())
    series = choose_series(index_folder(tmp_path), None)
    assert [one.position_lps for one in series.slices] == [(0.0, 0.0, float(k)) for k in range(12)]
