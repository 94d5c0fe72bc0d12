"""Measured values in whole runs: spoken, printed, recorded and listed from one place."""

import csv
import io
import json

import pytest
from typer.testing import CliRunner

from slidekit.build import Options, build_talk
from slidekit.cli import app
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from tests.talks import TALK, no_progress, write_talk

# the block of the small talk holds 1024 everywhere, and 1400 at columns 14 to 18, rows 10 to 13
MORE = """\
  wire:
    view: base
    shape: rectangle
    center_mm: [16, 11.5]
    size_mm: [5, 4]
    color: blue
    called: the wire
  lean:
    view: base
    shape: angle
    vertex_mm: [4, 4]
    arms_mm: [[12, 4], [12, 12]]
    called: the lean
volumes:
  metal:
    scan: block
    shape: box
    center_mm: [16, 11.5, 3.5]
    size_mm: [20, 16, 8]
    from_value: 1200
    called: the metal
chronology:
"""
MEASURED = (
    TALK.replace("chronology:\n", MORE, 1)
    .replace("findings:\n  wire:", "findings:\n  a_coil:")
    .replace("findings: [wire]", "findings: [a_coil]")
    .replace("title: A coil lies near the base", 'title: "A coil of {wire.mean}"')
    .replace(
        "{view: base, regions: [coil], caption: Section through the base}\n",
        "{view: base, regions: [coil, wire, lean], table: [coil, wire], values: [wire],"
        ' caption: "{wire.mark} covers {wire.area}"}\n',
        1,
    )
    .replace("{view: front, regions: [gap]}", "{view: front, regions: [gap], profile: gap}")
    .replace(
        "[show gap] It stands {gap.length} off the wall.",
        "[show gap] It stands {gap.length} off the wall. [show wire] {wire.mean} in {wire.n}"
        " samples. [show lean] It leans by {lean.angle}. All metal: {metal}.",
        1,
    )
    .replace("body: [Near the base lies a coil of wire.]", 'body: ["The coil of {wire.mean}."]')
)


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("measured")
    show, files = build_talk(write_talk(folder, MEASURED), folder / "out", Options(), no_progress)
    return show, {file.name: file for file in files}


def test_values_are_spoken_as_they_were_measured(built):
    _, files = built
    script = files["script.md"].read_text(encoding="utf-8")
    assert "1,400 HU in 20 samples." in script
    assert "It leans by 45 degrees." in script
    # 5 x 4 voxels of 1 mm3 in eight slices; known to half a voxel over the surface
    assert "All metal: 160 cubic millimetres." in script


def test_titles_captions_and_letters_show_what_is_spoken(built):
    show, _ = built
    page = next(told.page for told in show.told if told.slide.id == "base")
    words = [
        text.plain
        for item in page.items
        for text in getattr(item, "items", (item,))
        if hasattr(text, "plain")
    ]
    assert page.title == "A coil of 1,400 HU"
    assert "The blue rectangle covers 20 square millimetres" in words
    assert "B  1,400 HU*" in words  # twenty samples are few
    assert any(word.startswith("* only 20 samples lie in it") for word in words)
    assert sum("CT numbers alone do not name a substance" in word for word in words) == 1


def test_tables_and_plots_come_on_with_their_regions(built):
    show, _ = built
    told = next(told for told in show.told if told.slide.id == "base")
    steps = {item.name: item.step for item in told.page.items if hasattr(item, "step")}
    clicks = told.speech.cast.steps
    assert steps["Values A: the coil"] == clicks["coil"]
    assert steps["Values B: the wire"] == clicks["wire"]
    assert steps["Profile D: the gap"] == clicks["gap"]


def test_the_record_holds_every_measure_with_its_n(built):
    _, files = built
    record = json.loads(files["record.json"].read_text(encoding="utf-8"))
    wire = record["regions"]["wire"]["measured"]
    assert (wire["n"], wire["mean"], wire["sd"], wire["unit"]) == (20, 1400, 0, "HU")
    assert [one["kind"] for one in wire["warnings"]] == ["few", "edge"]
    assert record["regions"]["lean"]["measured"]["angle_deg"] == 45
    profile = record["regions"]["gap"]["profile"]  # from x = 8 to 20, bright from 14 to 18
    assert profile["values"] == [1024] * 6 + [1400] * 5 + [1024] * 2
    assert record["volumes"]["metal"]["measured"]["volume_mm3"] == 160


def test_a_second_run_measures_the_same(tmp_path):
    storyboard = write_talk(tmp_path, MEASURED)
    for name in ("one", "two"):
        build_talk(storyboard, tmp_path / name, Options(), no_progress)
    first, second = ((tmp_path / name / "record.json").read_bytes() for name in ("one", "two"))
    assert first == second


def test_panels_print_measured_values(tmp_path):
    files = build_panels(write_talk(tmp_path, MEASURED), tmp_path / "out", None, no_progress).files
    record = json.loads(next(f for f in files if f.suffix == ".json").read_text(encoding="utf-8"))
    assert record["regions"]["wire"]["measured"]["mean"] == 1400


def run(*arguments: object):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def test_measure_lists_everything_as_json(tmp_path):
    result = run("measure", write_talk(tmp_path, MEASURED), "--format", "json")
    found = {one["name"]: one for one in json.loads(result.stdout)}
    assert set(found) == {"coil", "gap", "wire", "lean", "metal"}
    assert (found["wire"]["mean"], found["wire"]["on"], found["metal"]["n"]) == (1400, "base", 160)
    assert found["gap"]["length_mm"] == 12


def test_measure_lists_what_is_asked_for_as_csv(tmp_path):
    storyboard = write_talk(tmp_path, MEASURED)
    result = run("measure", storyboard, "--region", "wire", "--region", "metal", "--format", "csv")
    rows = {row["name"]: row for row in csv.DictReader(io.StringIO(result.stdout))}
    assert set(rows) == {"wire", "metal"}
    assert (rows["wire"]["n"], rows["wire"]["unit"]) == ("20", "HU")
    assert rows["wire"]["warnings"].startswith("only 20 samples lie in it; ")
    assert rows["metal"]["volume_mm3"] == "160"


def test_measure_prints_a_table_in_columns(tmp_path):
    head, row = run("measure", write_talk(tmp_path, MEASURED), "--region", "wire").stdout.split(
        "\n"
    )[:2]
    at = head.index(" mean")
    assert row[at : at + 5] == " 1400"


@pytest.mark.parametrize(
    ("old", "new", "arguments", "message"),
    [
        ("", "", ("--region", "wirr"), "there is no region or volume `wirr`. Choose among coil"),
        (
            "size_mm: [20, 16, 8]",
            "size_mm: [20, 16, 80]",
            (),
            "volumes.metal: the box reaches 36.0 mm beyond the first or last slice of the scan",
        ),
        ("scan: block\n    shape", "scan: blok\n    shape", (), "there is no scan `blok`"),
    ],
)
def test_measure_says_what_cannot_be_measured(tmp_path, old, new, arguments, message):
    result = run("measure", write_talk(tmp_path, MEASURED.replace(old, new, 1)), *arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert message in result.stderr


def test_a_number_that_cannot_be_given_is_told_with_its_slide(tmp_path):
    text = MEASURED.replace("{wire.mean} in {wire.n}", "{coil.warning} in {wire.n}", 1)
    with pytest.raises(StoryboardError, match=r"slides\[1\]: {coil.warning} is said, and nothing"):
        build_talk(write_talk(tmp_path, text), tmp_path / "out", Options(), no_progress)
