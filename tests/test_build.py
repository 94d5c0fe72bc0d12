import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
from openxml_audit import OpenXmlValidator
from pydicom._dicom_dict import DicomDictionary
from pydicom.data import get_testdata_file
from pypdf import PdfReader

from slidekit.build import Options, build_talk
from slidekit.errors import StoryboardError, WriteError
from slidekit.panels import build_panels
from slidekit.prepare import start_storyboard
from slidekit.review import check_talk
from slidekit.scans.catalogue import index_folder, with_descriptions
from slidekit.scene.look import compose_contact_sheet, preview_series
from slidekit.scene.style import load_style
from tests.scans.dicom_series import Attributes
from tests.talks import TALK, no_progress, write_block, write_talk

PLAIN = Options()


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    show, files = build_talk(write_talk(folder), folder / "out", PLAIN, no_progress)
    return show, {file.name: file for file in files}


def notes(deck: Path) -> str:
    with zipfile.ZipFile(deck) as parts:
        names = [n for n in parts.namelist() if re.search(r"notesSlides/notesSlide\d+\.xml$", n)]
        return "\n".join(parts.read(name).decode() for name in sorted(names))


def slide_xml(deck: Path, number: int) -> str:
    with zipfile.ZipFile(deck) as parts:
        return parts.read(f"ppt/slides/slide{number}.xml").decode()


def test_a_talk_becomes_these_files(built):
    _, files = built
    assert set(files) == {"deck.pptx", "script.md", "record.json", "timeline.svg", "timeline.png"}


def test_the_deck_is_valid(built):
    _, files = built
    result = OpenXmlValidator().validate(str(files["deck.pptx"]))
    assert [str(error) for error in result.errors] == []


def test_the_mark_is_spoken_drawn_and_listed_alike(built):
    _, files = built
    script = files["script.md"].read_text(encoding="utf-8")
    assert "**[click 1: orange ellipse A, the coil]** The orange ellipse is the coil." in script
    assert "[CLICK 1: orange ellipse A, the coil]" in notes(files["deck.pptx"])
    assert "Mark A, orange ellipse: the coil" in slide_xml(files["deck.pptx"], 2)
    assert "Key: A, orange ellipse, is the coil" in slide_xml(files["deck.pptx"], 2)


def test_a_length_is_said_and_drawn_alike(built):
    # from x = 8 to x = 20 mm
    _, files = built
    assert "It stands 12 mm off the wall." in files["script.md"].read_text(encoding="utf-8")
    assert "B  12\xa0mm" in slide_xml(files["deck.pptx"], 2)


def test_dates_are_spoken_from_the_chronology(built):
    _, files = built
    script = files["script.md"].read_text(encoding="utf-8")
    assert "The Bronze Age lasted here 2200 to 800 BCE." in script


def test_recolouring_the_style_changes_deck_key_and_words_together(tmp_path):
    (tmp_path / "mine.yaml").write_text(
        "like: lecture-dark\nname: mine\nmarks:\n"
        '  orange: {spoken: purple, color: "#C9A0FF", dash: dash}\n',
        encoding="utf-8",
    )
    text = TALK.replace("slot_min: 2", "slot_min: 2\n  style: mine.yaml")
    _, files = build_talk(write_talk(tmp_path, text), tmp_path / "out", PLAIN, no_progress)
    slide = slide_xml(files[0], 2)
    assert "The purple ellipse is the coil." in files[1].read_text(encoding="utf-8")
    assert "Key: A, purple ellipse, is the coil" in slide
    assert slide.count("C9A0FF") >= 3  # outline, letter, key
    assert "FF9524" not in slide


def test_the_record_names_the_images_behind_each_picture(built):
    show, files = built
    record = json.loads(files["record.json"].read_text(encoding="utf-8"))
    base = record["pictures"]["base"]
    series = show.library.series["block"]
    assert [one["sop_uid"] for one in base["sources"]] == [series.slices[4].sop_uid]
    (window,) = base["windows"]
    assert (window["center"], window["width"], window["curve"]) == (100, 400, "linear")
    assert base["edges"] == ["R", "A", "L", "P"]
    assert record["regions"]["gap"]["length_mm"] == 12
    assert len(record["pictures"]["front"]["sources"]) == 8


def test_two_builds_of_the_same_inputs_are_the_same_bytes(tmp_path):
    storyboard = write_talk(tmp_path)
    for name, seed in (("one", "1"), ("two", "77")):
        subprocess.run(
            [sys.executable, "-m", "slidekit", "build", storyboard, "--out", tmp_path / name],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
        )
    for file in (tmp_path / "one").iterdir():
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes(), file.name


def test_steps_as_slides_show_one_state_each(tmp_path):
    options = Options(steps="slides")
    _, files = build_talk(write_talk(tmp_path), tmp_path / "out", options, no_progress)
    with zipfile.ZipFile(files[0]) as parts:
        slides = [n for n in parts.namelist() if re.fullmatch(r"ppt/slides/slide\d+\.xml", n)]
    assert len(slides) == 7  # the scan slide has two clicks: three states
    assert "p:timing" not in "".join(slide_xml(files[0], n + 1) for n in range(7))
    assert "Mark A" not in slide_xml(files[0], 2)
    assert "Mark A" in slide_xml(files[0], 3)


def test_only_some_slides_can_be_built(tmp_path):
    options = Options(only=("end", "base"))
    show, _ = build_talk(write_talk(tmp_path), tmp_path / "out", options, no_progress)
    assert [one.slide.id for one in show.told] == ["base", "end"]


def test_an_unknown_slide_is_refused_with_the_known_ones(tmp_path):
    with pytest.raises(
        StoryboardError,
        match=r"there is no slide `bass`\. Choose among opening, base, times, end, credits\.$",
    ):
        build_talk(write_talk(tmp_path), tmp_path, Options(only=("bass",)), no_progress)


def test_a_failed_run_leaves_the_old_files_whole(tmp_path):
    storyboard = write_talk(tmp_path)
    _, files = build_talk(storyboard, tmp_path / "out", PLAIN, no_progress)
    before = {file: file.read_bytes() for file in files}
    storyboard.write_text(TALK.replace("at_mm: 4", "at_mm: 400"), encoding="utf-8")
    with pytest.raises(StoryboardError):
        build_talk(storyboard, tmp_path / "out", PLAIN, no_progress)
    assert {file: file.read_bytes() for file in (tmp_path / "out").iterdir()} == before


def test_an_output_folder_that_is_a_file_is_refused(tmp_path):
    storyboard = write_talk(tmp_path)
    (tmp_path / "out").write_text("in the way", encoding="utf-8")
    with pytest.raises(WriteError, match=r"Choose another place with --out, or make .*writable\.$"):
        build_talk(storyboard, tmp_path / "out", PLAIN, no_progress)


def test_a_panel_becomes_a_pdf_of_its_size_and_a_png(tmp_path):
    files = build_panels(write_talk(tmp_path), tmp_path / "out", None, no_progress).files
    assert [file.name for file in files] == ["coil.pdf", "coil.png", "coil.json"]
    page = PdfReader(files[0]).pages[0]
    # A2 in points, ISO 216: 420 by 594 mm
    assert float(page.mediabox.width) == pytest.approx(420 / 25.4 * 72, abs=0.01)
    assert float(page.mediabox.height) == pytest.approx(594 / 25.4 * 72, abs=0.01)
    assert "Near the base lies a coil of wire." in " ".join(page.extract_text().split())


def test_a_talk_without_panels_says_so(tmp_path):
    text = TALK[: TALK.index("panels:")]
    with pytest.raises(StoryboardError, match=r"there are no panels\. Add a `panels` section\.$"):
        build_panels(write_talk(tmp_path, text), tmp_path / "out", None, no_progress)


def test_a_sound_talk_leaves_nothing_to_look_at_again(tmp_path):
    assert check_talk(write_talk(tmp_path), None, no_progress).remarks == ()


REAL = """\
talk: {title: Real scans, slot_min: 2}
scans:
  chest: {folder: ct, credit: Test image of pydicom, rights: MIT}
  knee: {folder: mr, credit: Test image of pydicom, rights: MIT}
views:
  ct: {scan: chest, plane: acquired, window: soft_tissue}
  mr: {scan: knee, plane: acquired, window: {center: 600, width: 1600}}
regions:
  spot: {view: ct, shape: rectangle, center_px: [64, 60], size_px: [20, 12], called: the canal}
slides:
  - id: both
    kind: scan
    title: Two real slices
    views: [{view: ct, regions: [spot]}, {view: mr}]
    say: Here is {spot.called}.
"""


@pytest.mark.parametrize(
    "mr",
    ["MR_small.dcm", "MR_small_RLE.dcm", "MR_small_jp2klossless.dcm", "MR_small_bigendian.dcm"],
)
def test_real_ct_and_mr_files_become_a_talk(tmp_path, mr):
    for folder, name in (("ct", "CT_small.dcm"), ("mr", mr)):
        (tmp_path / folder).mkdir()
        shutil.copy(get_testdata_file(name, download=False), tmp_path / folder)
    storyboard = tmp_path / "talk.yaml"
    storyboard.write_text(REAL, encoding="utf-8")
    _, files = build_talk(storyboard, tmp_path / "out", PLAIN, no_progress)
    assert not OpenXmlValidator().validate(str(files[0])).errors
    slide = slide_xml(files[0], 1)
    assert "window soft tissue 40/400 HU" in slide
    assert "window 600/1600 " not in slide  # MR values have no unit, least of all HU


def blind(folder: Path) -> None:
    """Zeros in place of every file's content, under the same size and time of change."""
    for file in folder.iterdir():
        status = file.stat()
        file.write_bytes(bytes(status.st_size))
        os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns))


def outputs(storyboard: Path, out: Path, **options) -> dict[str, bytes]:
    _, talk = build_talk(storyboard, out, Options(**options), no_progress)
    panels = build_panels(storyboard, out, None, no_progress, **options).files
    return {file.name: file.read_bytes() for file in (*talk, *panels)}


def test_a_second_build_opens_no_scan_file_and_writes_the_same(tmp_path, monkeypatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    storyboard = write_talk(tmp_path)
    first = outputs(storyboard, tmp_path / "one")
    blind(tmp_path / "block")
    assert outputs(storyboard, tmp_path / "two") == first


def test_a_second_build_waits_for_no_library_that_draws_or_decodes(tmp_path):
    code = (
        "import sys; from slidekit.cli import app; app(sys.argv[1:], standalone_mode=False);"
        " print([name for name in ('matplotlib', 'pydicom') if name in sys.modules])"
    )
    storyboard = write_talk(tmp_path)
    environment = {**os.environ, "SLIDEKIT_CACHE": str(tmp_path / "cache")}
    for heavy in ("['matplotlib']", "[]"):  # the first build draws a timeline
        done = subprocess.run(
            [sys.executable, "-c", code, "build", storyboard, "--out", tmp_path / "out"],
            env=environment,
            check=True,
            capture_output=True,
            text=True,
        )
        assert done.stdout.splitlines()[-1] == heavy


def test_a_verified_build_notices_files_that_changed_unseen(tmp_path, monkeypatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    storyboard = write_talk(tmp_path)
    first = outputs(storyboard, tmp_path / "one")
    assert outputs(storyboard, tmp_path / "two", verify=True) == first
    blind(tmp_path / "block")
    with pytest.raises(StoryboardError, match=r"scans\.block\.folder: .+ it is not a DICOM file"):
        build_talk(storyboard, tmp_path / "out", Options(verify=True), no_progress)


def test_without_a_cache_the_outputs_are_the_same(tmp_path, monkeypatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    storyboard = write_talk(tmp_path)
    first = outputs(storyboard, tmp_path / "one")
    assert outputs(storyboard, tmp_path / "two") == first
    monkeypatch.setenv("SLIDEKIT_CACHE_MIB", "0")
    assert outputs(storyboard, tmp_path / "three") == first


TEXT_VRS = {"AE", "LO", "LT", "PN", "SH", "ST", "UC", "UT"}
READ_ON_PURPOSE = {"RescaleType"}  # says whether values may be called HU


def planted() -> Attributes:
    """A canary in every attribute of the data dictionary (PS3.6) that holds free text.

    That takes in all of the text that the Basic Application Level Confidentiality Profile
    (PS3.15 Table E.1-1) removes, cleans or replaces, and dates and ages of a person besides.
    """
    texts = {
        keyword: f"Canary{tag:08X}"
        for tag, (vr, _, _, _, keyword) in DicomDictionary.items()
        if vr in TEXT_VRS and keyword and keyword not in READ_ON_PURPOSE and tag >> 16 > 0x0006
    }
    dates = {"PatientBirthDate": "19470318", "StudyDate": "19991217", "SeriesDate": "19991217"}
    times = {"StudyTime": "134507", "PatientBirthTime": "030405"}
    return Attributes(every={**texts, **dates, **times, "PatientAge": "052Y"})


def test_nothing_about_a_patient_reaches_any_byte_of_any_output(tmp_path, monkeypatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    storyboard = write_talk(tmp_path)
    shutil.rmtree(tmp_path / "block")
    write_block(tmp_path / "block", planted())
    for k, path in enumerate(sorted((tmp_path / "block").iterdir())):
        path.rename(path.with_name(f"CanaryFile{k}.dcm"))
    (tmp_path / "block").rename(tmp_path / "CanaryFolder")
    storyboard.write_text(TALK.replace("folder: block", "folder: CanaryFolder"), "utf-8")
    _, files = build_talk(storyboard, tmp_path / "out", PLAIN, no_progress)
    panels = build_panels(storyboard, tmp_path / "panels", None, no_progress).files
    kept = [path for path in (tmp_path / "cache").rglob("*") if path.is_file()]
    assert kept
    for name, data in every_byte([*files, *panels, *kept]):
        for secret in ("Canary", "19470318", "19991217", "134507", "030405", "052Y"):
            assert secret.encode() not in data, (name, secret)
            assert secret.encode("utf-16-le") not in data, (name, secret)
        assert str(tmp_path).encode() not in data, name


def test_nothing_about_a_patient_reaches_a_first_storyboard_or_a_contact_sheet(tmp_path):
    folder = write_block(tmp_path / "scans", planted())
    start_storyboard(folder, tmp_path / "talk.yaml")
    assert "Canary" not in (tmp_path / "talk.yaml").read_text(encoding="utf-8")
    series = with_descriptions(index_folder(folder)).series
    assert series[0].kernel == "Canary00181210"  # known, for the console
    sheet = compose_contact_sheet(preview_series(series), 0, load_style("lecture-dark", Path()))
    assert "Canary" not in repr(sheet)


def every_byte(files):
    """The bytes of each file, of each part of a zip, and of each stream of a PDF."""
    for file in files:
        data = file.read_bytes()
        yield file.name, data
        if zipfile.is_zipfile(file):
            with zipfile.ZipFile(BytesIO(data)) as parts:
                for name in parts.namelist():
                    yield f"{file.name}/{name}", name.encode() + parts.read(name)
        if file.suffix == ".pdf":
            for obj in PdfReader(file).pages:
                yield f"{file.name} text", obj.extract_text().encode()


def test_the_canaries_are_planted(tmp_path):
    write_block(tmp_path, planted())
    data = next(iter(sorted(tmp_path.iterdir()))).read_bytes()
    assert data.count(b"Canary") > 700
    assert b"Canary00100010" in data  # Patient's Name


def test_a_slide_may_speak_of_what_another_slide_shows(tmp_path):
    text = TALK.replace("lasted here {bronze}.", "is older than {coil.called}, {gap.length} off.")
    talk = write_talk(tmp_path, text)
    build_talk(talk, tmp_path / "out", Options(only=("times",)), no_progress)
    script = (tmp_path / "out" / "script.md").read_text(encoding="utf-8")
    assert "The Bronze Age is older than the coil, 12 mm off." in script
