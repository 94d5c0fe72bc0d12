"""Runs with windows of every form: on the slide, in the record, and what stays out of both."""

import json
import zipfile

import numpy as np
import pytest
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence

from slidekit.build import Options, build_talk
from slidekit.errors import StoryboardError
from slidekit.prepare import look_at_images
from tests.scans.dicom_series import Attributes
from tests.talks import TALK, no_progress, write_block

CANARY = "CANARYNAME"
FORMS = {
    "plain": "soft_tissue",
    "curved": "{center: 376, width: 700, curve: sigmoid}",
    "stored": f"{{stored: {CANARY} B}}",
    "table": "{stored: table}",
    "values": "{percentiles: [1, 99], region: spot}",
    "halves": "{split: [bone, {percentiles: [0, 100]}]}",
}


def grey_table() -> Dataset:
    item = Dataset()
    item.add_new("LUTDescriptor", "SS", [512, 900, 8])
    item.add_new("LUTData", "OW", bytes(np.repeat(np.arange(256, dtype=np.uint8), 2)))
    item.LUTExplanation = CANARY
    return item


def stored() -> Attributes:
    return Attributes(
        {
            "WindowCenter": [1100, 1200],
            "WindowWidth": [500, 600],
            "WindowCenterWidthExplanation": [f"{CANARY} A", f"{CANARY} B"],
            "VOILUTFunction": "LINEAR_EXACT",
            "VOILUTSequence": Sequence([grey_table()]),
            "RescaleType": CANARY,
        }
    )


def write_storyboard(folder, forms):
    write_block(folder / "block", stored())
    views = "".join(
        f"  {name}: {{scan: block, plane: axial, at_mm: 4, window: {window}}}\n"
        for name, window in forms.items()
    )
    head = TALK.split("views:\n")[0]
    slides = "".join(
        f"  - {{id: s_{name}, kind: scan, title: Look at {name}, say: Look.,"
        f" views: [{{view: {name}}}]}}\n"
        for name in forms
    )
    region = (
        "regions:\n  spot: {view: values, shape: ellipse, center_mm: [16, 11.5],"
        " radii_mm: [6, 4], called: the spot}\n"
    )
    path = folder / "talk.yaml"
    path.write_text(f"{head}views:\n{views}{region}slides:\n{slides}", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("windows")
    show, files = build_talk(
        write_storyboard(folder, FORMS), folder / "out", Options(), no_progress
    )
    return show, {path.name: path for path in files}


def test_the_record_holds_every_window_with_its_curve(built):
    _, files = built
    record = json.loads(files["record.json"].read_text(encoding="utf-8"))
    found = {name: one["windows"] for name, one in record["pictures"].items()}
    assert found["plain"][0]["name"] == "soft_tissue"
    (curved,) = found["curved"]
    assert (curved["center"], curved["width"], curved["curve"]) == (376, 700, "sigmoid")
    assert found["stored"] == [
        {
            "center": 1200, "width": 600, "curve": "linear_exact",
            "name": "", "note": "stored 2 of 2", "origin": "files",
        }
    ]  # fmt: skip
    (table,) = found["table"]
    assert (table["first_value"], table["entries"], table["bits"]) == (900, 512, 8)
    (values,) = found["values"]
    # 1024 around a spot of 1400: 376 between them, rounded to steps of 5
    assert (values["center"], values["width"]) == (1210, 375)
    assert values["note"] == "automatic, 1 to 99 % within the spot"
    assert [half["origin"] for half in found["halves"]] == ["style", "values"]


def test_the_slides_say_what_was_done(built):
    show, _ = built
    words = " ".join(repr(page) for page in show.pages)
    for part in (
        "window soft tissue 40/400",
        "window 376/700 (sigmoid)",
        "window 1200/600 (linear exact, stored 2 of 2)",
        "window stored table",
        "window 1210/375 (automatic, 1 to 99 % within the spot)",
        "bone 400/1800 at left, ",
    ):
        assert part in words


def test_a_table_of_the_files_makes_the_greys(built):
    show, _ = built
    pixels = show.sights.views["table"].picture.pixels
    # 1024 and 1400 are entries 124 and 500, which are 62 and 250
    assert (pixels[0, 0], int(pixels[-1, -1])) == (62, 62)
    assert pixels.max() >= 250


def test_no_text_of_a_vendor_reaches_an_output(built, tmp_path):
    _, files = built
    for path in files.values():
        contents = [path.read_bytes()]
        if path.suffix == ".pptx":
            with zipfile.ZipFile(path) as deck:
                contents = [deck.read(name) for name in deck.namelist()]
        assert not any(CANARY.encode() in content for content in contents), path.name


def test_the_console_lists_what_the_files_carry(tmp_path):
    write_block(tmp_path / "block", stored())
    lines = look_at_images(tmp_path / "block", tmp_path / "out", no_progress).lines
    assert any(
        f"windows in the files: stored: 1 (1100/500 linear_exact '{CANARY} A'), stored: 2 "
        f"(1200/600 linear_exact '{CANARY} B') or stored: table 1 (512 entries '{CANARY}')" in line
        for line in lines
    )


def test_every_window_that_cannot_be_found_is_told_with_its_line(tmp_path):
    forms = {
        "lacking": "{stored: 7}",
        "unnamed": "{split: [bone, {stored: LUNG}]}",
        "values": "bone",
    }
    path = write_storyboard(tmp_path, forms)
    with pytest.raises(StoryboardError) as caught:
        build_talk(path, tmp_path / "out", Options(), no_progress)
    first, second = caught.value.faults
    assert first.field == "views.lacking.window"
    assert first.wrong == "There is no window 7 in the files"
    assert second.field == "views.unnamed.window"
    assert second.wrong == "There is no window or table that is called 'LUNG' in the files"
    assert f"stored: 1 (1100/500 linear_exact '{CANARY} A')" in second.instead
    assert not (tmp_path / "out").exists()


def test_a_region_without_any_difference_in_it_makes_no_window(tmp_path):
    forms = {"values": "{percentiles: [50, 60], region: spot}"}
    path = write_storyboard(tmp_path, forms)
    with pytest.raises(StoryboardError) as caught:
        build_talk(path, tmp_path / "out", Options(), no_progress)
    (fault,) = caught.value.faults
    assert fault.field == "views.values.window"
    assert fault.wrong == "the percentiles 50 and 60 of the values are both 1024"
