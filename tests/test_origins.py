"""Whole runs over images from every kind of file: the same pictures, and nothing private told."""

import json
import zipfile
from pathlib import Path

import nibabel
import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from slidekit.build import Options, build_talk
from slidekit.cache import cache_folder
from slidekit.cli import app
from slidekit.errors import StoryboardError
from slidekit.scans.origins import find_series, origin_of
from slidekit.storyboard.read import read_storyboard
from tests.scans.dicom_series import Attributes
from tests.talks import TALK, no_progress, write_block, write_talk

CANARY = "CANARYXYZ"


def write_archive(folder: Path) -> Path:
    """The block of the test talk in a ZIP archive, under names that nobody shall see."""
    names = {"PatientName": f"{CANARY}^A", "InstitutionName": CANARY, "SeriesDescription": CANARY}
    block = write_block(folder / "unpacked", Attributes(every=names))
    archive = folder / f"{CANARY}.zip"
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED, allowZip64=True) as opened:
        opened.comment = CANARY.encode()
        for path in sorted(block.iterdir()):
            opened.write(path, f"{CANARY}/{CANARY}-{path.name}")
    return archive


def write_volume(folder: Path) -> Path:
    """The same block as a NIfTI volume whose header is full of names."""
    volume = np.full((8, 24, 32), 1024, np.int16)
    volume[:, 10:14, 14:19] = 1400
    affine = np.diag([-1.0, -1.0, 1.0, 1.0])  # LPS voxels in a RAS world
    image = nibabel.Nifti1Image(volume.transpose(2, 1, 0), affine)
    for field in ("descrip", "aux_file", "intent_name", "db_name"):
        image.header[field] = CANARY
    image.header.extensions.append(nibabel.nifti1.Nifti1Extension("comment", CANARY.encode()))
    path = folder / f"{CANARY}.nii.gz"
    nibabel.save(image, path)
    return path


def talk_from(folder: Path, origin: str) -> Path:
    path = {"archive": write_archive, "nifti": write_volume}[origin](folder)
    text = TALK.replace("    folder: block\n", f"    {origin}: {path.name}\n")
    storyboard = folder / "talk.yaml"
    storyboard.write_text(text, encoding="utf-8")
    return storyboard


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plain")
    return build_talk(write_talk(folder), folder / "out", Options(), no_progress)


@pytest.mark.parametrize("origin", ["archive", "nifti"])
def test_the_pictures_are_those_of_a_folder(tmp_path, plain, origin):
    show, files = build_talk(talk_from(tmp_path, origin), tmp_path / "out", Options(), no_progress)
    for name, sight in plain[0].sights.views.items():
        found = show.sights.views[name].picture
        np.testing.assert_array_equal(found.pixels, sight.picture.pixels)
        assert (found.letters, found.grid) == (sight.picture.letters, sight.picture.grid)
    script = next(file for file in files if file.name == "script.md")
    expected = next(file for file in plain[1] if file.name == "script.md")
    assert script.read_text(encoding="utf-8") == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize(("origin", "form"), [("archive", "dicom"), ("nifti", "nifti")])
def test_the_record_says_what_the_images_are_and_no_name(tmp_path, origin, form):
    _, files = build_talk(talk_from(tmp_path, origin), tmp_path / "out", Options(), no_progress)
    record = json.loads(files[-1].read_text(encoding="utf-8"))
    series = record["series"]["block"]
    assert (series["source"], series["format"]) == (origin, form)
    assert len(series["fingerprint"]) == 64
    sources = record["pictures"]["base"]["sources"]
    assert all(len(one["sha256"]) == 64 for one in sources)


@pytest.mark.parametrize("origin", ["archive", "nifti"])
def test_nothing_private_is_told_or_kept(tmp_path, origin, monkeypatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    _, files = build_talk(talk_from(tmp_path, origin), tmp_path / "out", Options(), no_progress)
    kept = [path for path in cache_folder().rglob("*") if path.is_file()]
    assert kept
    for file in (*files, *kept):
        data = file.read_bytes()
        if zipfile.is_zipfile(file):
            with zipfile.ZipFile(file) as parts:
                data = b"".join(name.encode() + parts.read(name) for name in parts.namelist())
        assert CANARY.encode() not in data, file.name
        assert CANARY not in file.name


@pytest.mark.parametrize("origin", ["archive", "nifti"])
def test_an_origin_that_is_not_there_is_a_fault_with_its_line(tmp_path, origin):
    storyboard = talk_from(tmp_path, origin)
    next(tmp_path.glob(f"{CANARY}.*")).unlink()
    with pytest.raises(StoryboardError, match=r"talk\.yaml:8: scans\.block\.\w+: There is no file"):
        build_talk(storyboard, tmp_path / "out", Options(), no_progress)


def test_fields_of_other_origins_are_refused(tmp_path):
    text = TALK.replace("    folder: block\n", "    nifti: a.nii\n    series: 4\n")
    path = tmp_path / "talk.yaml"
    path.write_text(text, encoding="utf-8")
    message = r"scans\.block: has `series` beside `nifti`\. Remove it: it goes with `folder`,"
    with pytest.raises(StoryboardError, match=message):
        read_storyboard(path)


def picture_of(folder: Path) -> Path:
    path = folder / "find.png"
    Image.new("RGB", (60, 40), (120, 90, 60)).save(path)
    return path


@pytest.mark.parametrize(
    ("write", "origin"),
    [(write_archive, "archive"), (write_volume, "nifti"), (picture_of, "picture")],
)
def test_a_first_storyboard_is_written_for_every_kind_of_file_and_builds(tmp_path, write, origin):
    images = write(tmp_path)
    assert origin_of(images) == origin
    run = CliRunner()
    out = tmp_path / "talk.yaml"
    result = run.invoke(app, ["new", str(images), "--out", str(out)])
    assert (result.exit_code, result.output.strip()) == (0, str(out))
    (scan,) = read_storyboard(out).board.scans.values()
    assert Path(getattr(scan, origin)) == images
    result = run.invoke(app, ["build", str(out), "--out", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("write", [write_archive, write_volume, picture_of])
def test_every_kind_of_file_is_looked_at(tmp_path, write):
    out = tmp_path / "look"
    result = CliRunner().invoke(app, ["look", str(write(tmp_path)), "--out", str(out)])
    assert result.exit_code == 0, result.output
    assert (out / "series.png").is_file()
    assert "32 × 24" in result.output or "60 × 40" in result.output


def test_a_file_that_is_not_read_by_itself_is_told(tmp_path):
    path = tmp_path / "notes.txt"
    path.write_text("nothing")
    result = CliRunner().invoke(app, ["look", str(path), "--out", str(tmp_path / "look")])
    assert result.exit_code == 2
    assert "is a file that is not read by itself. Write the path of a folder" in result.output


def test_the_first_of_several_volumes_is_looked_at(tmp_path):
    path = tmp_path / "head.nii"
    nibabel.save(nibabel.Nifti1Image(np.ones((9, 8, 7, 3), np.int16), np.eye(4)), path)
    (series,) = find_series(path).series
    assert series.name == "volume 1"


def test_the_author_says_the_unit_of_a_volume_and_it_holds_at_once(tmp_path):
    storyboard = talk_from(tmp_path, "nifti")

    def units() -> set[str]:
        show, _ = build_talk(storyboard, tmp_path / "out", Options(), no_progress)
        return {sight.picture.unit for sight in show.sights.views.values()}

    assert units() == {""}
    text = storyboard.read_text(encoding="utf-8")
    storyboard.write_text(text.replace(".nii.gz\n", ".nii.gz\n    unit: HU\n"), encoding="utf-8")
    assert units() == {"HU"}
