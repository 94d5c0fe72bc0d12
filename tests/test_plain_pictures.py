"""Whole runs over photographs and pages: what is drawn, said, recorded, and never told."""

import json
import re
import zipfile
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from openxml_audit import OpenXmlValidator
from PIL import Image, ImageCms, PngImagePlugin
from pydicom.uid import SecondaryCaptureImageStorage

from slidekit.build import Options, build_talk
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from slidekit.prepare import look_at_views
from slidekit.review import check_talk
from tests.scans.dicom_series import image_dataset, set_attributes
from tests.talks import no_progress

TALK = """\
talk:
  title: The find
  slot_min: 2
scans:
  photo:
    picture: CANARY-find.jpg
    credit: Photograph made for a test
    rights: CC0 1.0
    mm_per_px: 0.12
  xray:
    folder: CANARY-xray
    credit: Radiograph made for a test
    rights: CC0 1.0
views:
  whole: {scan: photo, plane: picture}
  film: {scan: xray, plane: picture, window: {center: 100, width: 200}}
regions:
  crack:
    view: whole
    shape: line
    from_px: [100, 50]
    to_px: [200, 50]
    color: orange
    called: the crack
  pin: {view: film, shape: arrow, tail_px: [5, 5], tip_px: [20, 20], called: the pin}
slides:
  - id: find
    kind: scan
    title: The find
    views:
      - {view: whole, regions: [crack], caption: As found}
      - {view: film, regions: [pin]}
    say: |
      [show crack] {crack.mark} is {crack.length} long. [show pin] Here is {pin.called}.
  - {id: credits, kind: credits, title: Credits, say: Thank you.}
panels:
  find:
    size_mm: [297, 420]
    headline: The find
    body: [It is cracked.]
    views: [{view: whole, regions: [crack]}]
    png_dpi: 50
"""
CANARY = "CANARY"


def metadata() -> tuple[Image.Exif, bytes]:
    """EXIF of a camera that tells where, when and by whom, and a profile with a name in it."""
    exif = Image.Exif()
    exif[0x0112] = 6  # Orientation: turned clockwise to be upright
    for tag in (0x010E, 0x010F, 0x0110, 0x013B, 0x8298, 0x9286):
        exif[tag] = f"{CANARY}-{tag:04x}"
    gps = exif.get_ifd(0x8825)
    gps[1], gps[29] = CANARY, f"{CANARY}:date"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return exif, profile.replace(b"built-in", b"CANARY!!") + b"CANARY"


def write_photo(path: Path) -> None:
    upright = np.zeros((200, 300, 3), np.uint8)
    upright[..., 0] = 200
    upright[:100, :150] = (20, 40, 220)  # blue at the upper left
    stored = np.rot90(upright)  # the camera was held on its side
    exif, profile = metadata()
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">CANARY</x:xmpmeta>'
    Image.fromarray(stored).save(
        path, quality=95, exif=exif, icc_profile=profile, comment=b"CANARY", xmp=xmp
    )


def write_film(folder: Path) -> None:
    folder.mkdir()
    image = image_dataset(np.tile(np.arange(40, dtype=np.uint16) * 5, (30, 1)))
    names = {k: f"{CANARY}^{k}" for k in ("PatientName", "PatientID", "InstitutionName")}
    of_page = {"SOPClassUID": SecondaryCaptureImageStorage, "Modality": "CR"}
    set_attributes(image, {**names, **of_page, "PhotometricInterpretation": "MONOCHROME1"})
    image.save_as(folder / f"{CANARY}.dcm", enforce_file_format=True)


def write_talk(folder: Path, text: str = TALK) -> Path:
    write_photo(folder / "CANARY-find.jpg")
    write_film(folder / "CANARY-xray")
    path = folder / "talk.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    storyboard = write_talk(folder)
    show, files = build_talk(storyboard, folder / "out", Options(), no_progress)
    files += build_panels(storyboard, folder / "out", None, no_progress).files
    files += look_at_views(storyboard, None, folder / "look", no_progress).files
    return show, {file.name: file for file in files}


def slide_xml(deck: Path, number: int = 1) -> str:
    with zipfile.ZipFile(deck) as parts:
        return parts.read(f"ppt/slides/slide{number}.xml").decode()


def media(deck: Path) -> dict[tuple[int, int], bytes]:
    """The pictures of a deck by their size."""
    with zipfile.ZipFile(deck) as parts:
        files = [parts.read(n) for n in parts.namelist() if n.startswith("ppt/media/")]
    return {Image.open(BytesIO(data)).size: data for data in files}


def test_the_deck_is_valid(built):
    result = OpenXmlValidator().validate(str(built[1]["deck.pptx"]))
    assert [str(error) for error in result.errors] == []


def test_a_photograph_stands_upright_and_in_colour_in_the_deck(built):
    shown = Image.open(BytesIO(media(built[1]["deck.pptx"])[900, 600]))
    assert (shown.mode, shown.format) == ("RGB", "PNG")
    upper_left, lower_right = shown.getpixel((30, 30)), shown.getpixel((870, 570))
    assert np.abs(np.subtract(upper_left, (20, 40, 220))).max() <= 4
    assert np.abs(np.subtract(lower_right, (200, 0, 0))).max() <= 4


def test_a_length_comes_from_the_stated_scale(built):
    # 100 pixels of 0.12 mm
    assert "is 12.0 mm long" in built[1]["script.md"].read_text(encoding="utf-8")
    assert "A  12.0\N{NO-BREAK SPACE}mm" in slide_xml(built[1]["deck.pptx"])


def test_only_the_picture_with_a_scale_has_a_scale_bar(built):
    slide = slide_xml(built[1]["deck.pptx"])
    assert "Scale of whole" in slide
    assert "Scale of film" not in slide
    assert "Edge of the picture, which has no scale" in slide


def test_no_letters_of_a_patients_sides_stand_on_a_picture(built):
    assert "edge" not in re.sub("Edge of", "", slide_xml(built[1]["deck.pptx"]))


def test_the_data_line_says_what_is_known_of_the_scale(built):
    slide = slide_xml(built[1]["deck.pptx"])
    assert "picture · 0.12 mm per pixel, as stated" in slide
    assert "picture · window 100/200 · no scale" in slide


def test_the_record_makes_no_place_up(built):
    record = json.loads(built[1]["record.json"].read_text(encoding="utf-8"))
    whole, film = record["pictures"]["whole"], record["pictures"]["film"]
    assert not {"at_mm", "origin_lps", "edges"} & {*whole, *film}
    assert (whole["pixel_mm"], whole["windows"]) == (0.04, [])
    assert film["pixel_mm"] is None
    crack, pin = record["regions"]["crack"], record["regions"]["pin"]
    assert crack["points_mm"] == [[12, 6], [24, 6]]
    assert pin["points_px"] == [[5, 5], [20, 20]]
    photo = record["series"]["photo"]
    assert (photo["source"], photo["format"]) == ("picture", "picture")
    assert len(photo["fingerprint"]) == 64


def test_nothing_of_what_the_files_say_of_themselves_is_told(built):
    for file in built[1].values():
        data = file.read_bytes()
        if zipfile.is_zipfile(file):
            with zipfile.ZipFile(file) as parts:
                data = b"".join(name.encode() + parts.read(name) for name in parts.namelist())
        assert CANARY.encode() not in data, file.name
        assert CANARY.encode("utf-16-le") not in data, file.name


def test_pictures_of_a_deck_hold_pixels_and_nothing_else(built):
    for data in media(built[1]["deck.pptx"]).values():
        chunks = {name for name, *_ in png_chunks(data)}
        assert chunks <= {b"IHDR", b"IDAT", b"IEND"}


def png_chunks(data: bytes):
    stream = PngImagePlugin.ChunkStream(BytesIO(data[8:]))
    while True:
        name, position, length = stream.read()
        yield name, position, length
        if name == b"IEND":
            return
        stream.fp.seek(position + length + 4)


def test_two_builds_are_the_same_bytes(built, tmp_path):
    storyboard = built[0].basis.source.path
    _, files = build_talk(storyboard, tmp_path, Options(), no_progress)
    for file in files:
        assert file.read_bytes() == built[1][file.name].read_bytes(), file.name


def faults(folder: Path, old: str, new: str) -> list[str]:
    assert TALK.count(old) == 1
    with pytest.raises(StoryboardError) as raised:
        build_talk(
            write_talk(folder, TALK.replace(old, new)), folder / "out", Options(), no_progress
        )
    return [str(fault).replace(f"{folder}/", "") for fault in raised.value.faults]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "    mm_per_px: 0.12\n",
            "",
            "regions.crack: a line shows a length, and the picture has no scale. Write"
            " `mm_per_px` on its scan if it is known, or use an arrow.",
        ),
        (
            "whole: {scan: photo, plane: picture}",
            "whole: {scan: photo, plane: picture, window: bone}",
            "views.whole.window: the picture is shown as it is, and a window would change"
            " nothing. Remove `window`.",
        ),
        (
            ", window: {center: 100, width: 200}",
            "",
            "views.film.window: the picture holds values, and no window says which are black and"
            " white. Add `window: {percentiles: [1, 99]}`, or center and width.",
        ),
        (
            "whole: {scan: photo, plane: picture}",
            "whole: {scan: photo, plane: picture, at_mm: 3}",
            "views.whole.at_mm: a picture without a place in a patient has none. Remove it.",
        ),
        (
            "whole: {scan: photo, plane: picture}",
            "whole: {scan: photo, plane: acquired, window: bone}",
            "views.whole.plane: The series holds pages (colour, screen captures) without a place in"
            " the patient. Write plane: picture, or use a series of slices.",
        ),
        (
            "tip_px: [20, 20]",
            "tip_px: [20, 200]",
            "regions.pin: region `pin` on view `film`: it reaches 170.5 pixels beyond the edge"
            " of the picture. Mend the coordinates (see `slidekit look`), or crop the view less.",
        ),
        (
            "{view: film, shape: arrow, tail_px: [5, 5], tip_px: [20, 20],",
            "{view: film, shape: arrow, tail_mm: [5, 5], tip_mm: [20, 20],",
            "regions.pin.tail_mm: `tail_mm` is a place in a patient, and `film` is a picture."
            " Write `tail_px` (pixels of the upright picture).",
        ),
        (
            "{view: film, regions: [pin]}",
            "{view: film, regions: [pin, crack]}",
            "slides[0].views[1].regions[1]: region `crack` on view `film`: its coordinates are"
            " pixels of another picture. Define a second region on this view.",
        ),
        (
            "    picture: CANARY-find.jpg\n",
            "    picture: CANARY-find.jpg\n    archive: find.zip\n",
            "scans.photo: has `archive` and `picture`, and its images come from one place. Keep"
            " one of them.",
        ),
        (
            "    picture: CANARY-find.jpg\n",
            "",
            "scans.photo: does not say where its images are. Write one of `folder`, `archive`,"
            " `nifti`, `picture`, `dicomweb`, `demo`.",
        ),
    ],
)
def test_a_fault_says_what_to_write(tmp_path, old, new, message):
    assert message in [fault.split(": ", 1)[1] for fault in faults(tmp_path, old, new)]


def test_a_part_of_a_photograph_is_shown_larger(tmp_path):
    old = "{view: whole, regions: [crack], caption: As found}"
    inset = "{view: whole, regions: [crack], inset: {region: crack, times: 2}}"
    storyboard = write_talk(tmp_path, TALK.replace(old, inset))
    show, files = build_talk(storyboard, tmp_path / "out", Options(), no_progress)
    part = next(sight for name, sight in show.sights.views.items() if name not in ("whole", "film"))
    assert part.picture.grid.space == "scaled"
    assert part.picture.pixels.ndim == 3
    assert part.picture.grid.columns < show.sights.views["whole"].picture.grid.columns
    assert not OpenXmlValidator().validate(str(files[0])).errors


def test_a_photograph_is_cut_around_a_region(tmp_path):
    old = "whole: {scan: photo, plane: picture}"
    new = "whole: {scan: photo, plane: picture, crop_around: {region: crack, margin_mm: 1.2}}"
    storyboard = write_talk(tmp_path, TALK.replace(old, new))
    show, _ = build_talk(storyboard, tmp_path / "out", Options(), no_progress)
    grid = show.sights.views["whole"].picture.grid
    # columns 90 to 210 and rows 40 to 60, of 0.12 mm, shown whole
    assert grid.columns * grid.column_mm == pytest.approx(121 * 0.12)
    assert grid.rows * grid.row_mm == pytest.approx(21 * 0.12)


def test_pictures_without_a_scale_are_not_shown_at_one_scale(tmp_path):
    found = faults(
        tmp_path,
        "    title: The find\n    views:",
        "    title: The find\n    same_scale: true\n    views:",
    )
    assert "the pictures cannot be at one scale: `film` has none. Write `mm_per_px`" in found[0]


def test_millimetres_on_a_picture_without_a_scale_are_refused(tmp_path):
    old = "{view: film, regions: [pin]}"
    found = faults(tmp_path, old, "{view: film, regions: [pin], inset: {region: pin, times: 2}}")
    assert found[0].split(": ", 1)[1] == (
        "slides[0].views[1].inset: `margin_mm`: millimetres mean nothing on a picture without a"
        " scale. Write `margin_px`, or `mm_per_px` on its scan if it is known."
    )


@pytest.mark.parametrize(
    ("inset", "columns_rows"),
    [
        ("{region: pin, margin_px: 4, times: 1.2}", (24, 24)),
        ("{center_px: [12, 10], size_px: [10, 8], times: 2}", (11, 9)),
    ],
)
def test_a_part_of_a_picture_without_a_scale_is_counted_in_pixels(tmp_path, inset, columns_rows):
    new = f"{{view: film, regions: [pin], inset: {inset}}}"
    storyboard = write_talk(tmp_path, TALK.replace("{view: film, regions: [pin]}", new))
    show, files = build_talk(storyboard, tmp_path / "out", Options(), no_progress)
    [name] = [name for name in show.sights.views if name.startswith("film, ")]
    grid = show.sights.views[name].picture.grid
    assert (grid.columns * grid.column_mm, grid.rows * grid.row_mm) == pytest.approx(columns_rows)
    groups = [i for i in show.told[0].page.items if i.name.startswith("Part of film")]
    assert not any(getattr(item, "plain", "").endswith("mm") for item in groups[0].items)
    assert not OpenXmlValidator().validate(str(files[0])).errors


@pytest.mark.parametrize(
    ("view", "crop", "expected"),
    [
        ("film: {scan: xray, plane: picture,", "[[2, 3], [22, 23]]", (21, 21)),
        ("whole: {scan: photo, plane: picture", "[[210, 60], [90, 40]]", (121 * 0.12, 21 * 0.12)),
    ],
)
def test_a_picture_is_cut_by_its_pixels(tmp_path, view, crop, expected):
    name = view.split(":")[0]
    new = f"{name}: {{crop_px: {crop}, {view.split('{')[1]}"
    storyboard = write_talk(tmp_path, TALK.replace(view, new))
    show, _ = build_talk(storyboard, tmp_path / "out", Options(), no_progress)
    grid = show.sights.views[name].picture.grid
    assert (grid.columns * grid.column_mm, grid.rows * grid.row_mm) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("crop", "told"),
    [
        (
            "crop_px: [[2, 3], [22, 23]], crop_around: {region: pin, margin_px: 3}",
            "views.film: has `crop_px` and `crop_around`. Write one of the two.",
        ),
        (
            "crop_px: [[900, 3], [920, 23]]",
            "views.film.crop_px: less than 4 samples of the scan lie in the part it names. Choose"
            " a larger part within the picture.",
        ),
    ],
)
def test_a_cut_that_cannot_be_made_is_told(tmp_path, crop, told):
    old = "film: {scan: xray, plane: picture,"
    assert told in faults(tmp_path, old, f"{old} {crop},")[0]


def test_text_that_a_capture_may_hold_is_pointed_out(tmp_path):
    remarks = check_talk(write_talk(tmp_path), None, no_progress).remarks
    assert any("burned-in: scan `xray` has, or may have, text" in str(one) for one in remarks)
