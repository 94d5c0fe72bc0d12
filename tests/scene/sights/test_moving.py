"""Moving pictures of a talk: what the author writes, and what deck, script and record say."""

import io
import json
import zipfile

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from slidekit.build import Options, build_talk, compose_show
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from slidekit.scene.model import Group, Picture, Text
from tests.scans.dicom_series import write_series
from tests.talks import TALK, no_progress, write_talk

BASE = "      - {view: base, regions: [coil], caption: Section through the base}\n"
FRONT = "      - {view: front, regions: [gap]}\n"
CINE = "{from_mm: 2, to_mm: 6, fps: 10}"
THICK = "    at_mm: 12\n    slab_mm: 10\n    slab: max\n"


def with_cine(cine: str = CINE) -> str:
    return TALK.replace(BASE, f"      - {{view: base, regions: [coil], cine: {cine}}}\n")


def turning() -> str:
    text = TALK.replace(FRONT, "      - {view: front, turntable: {frames: 8}}\n")
    text = text.replace("    at_mm: 12\n", THICK)
    return text.replace("      [show gap] It stands {gap.length} off the wall.\n", "").replace(
        "    [show gap] It stands {gap.length} off the wall.\n", ""
    )


def said(tmp_path, text: str) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        compose_show(write_talk(tmp_path, text), Options(), no_progress)
    return [str(fault).split("talk.yaml:")[1].split(": ", 1)[1] for fault in raised.value.faults]


def built(tmp_path, text: str):
    """The talk over a block whose slices differ, built."""
    talk = write_talk(tmp_path, text)
    volume = np.full((8, 24, 32), 100, np.int16)
    for k, level in enumerate(volume):
        level[10:14, 5 + 2 * k : 10 + 2 * k] = 250
    write_series(tmp_path / "block", volume)
    return build_talk(talk, tmp_path / "out", Options(), no_progress)[0]


def read_frames(image: Image.Image):
    for k in range(image.n_frames):
        image.seek(k)
        yield np.asarray(image.convert("L"))


def gifs(tmp_path) -> list[bytes]:
    with zipfile.ZipFile(tmp_path / "out" / "deck.pptx") as deck:
        return [deck.read(n) for n in sorted(deck.namelist()) if n.endswith(".gif")]


def test_the_deck_holds_the_frames_and_the_first_is_the_view_itself(tmp_path):
    show = built(tmp_path, with_cine())
    [gif] = gifs(tmp_path)
    image = Image.open(io.BytesIO(gif))
    assert image.n_frames == 5
    assert image.info["duration"] == 100
    own = show.sights.views["base"].picture.pixels  # three pixels for each of the scan's
    small = np.asarray(Image.fromarray(own).resize(image.size, Image.Resampling.BOX))
    away = [float(np.abs(frame.astype(int) - small).mean()) for frame in read_frames(image)]
    assert away[0] == min(away) < 3
    assert min(away[1:]) > 2 * away[0]


def test_marks_stay_shapes_above_a_moving_picture(tmp_path):
    show = built(tmp_path, with_cine())
    items = show.told[1].page.items
    moving = [i for i in items if isinstance(i, Picture) and i.moving]
    assert [i.name for i in moving] == ["base"]
    assert moving[0].alt.endswith("The picture moves by itself.")
    assert any(isinstance(i, Group) and i.name == "Mark A: the coil" for i in items)


def test_the_page_the_script_and_the_notes_say_that_it_moves(tmp_path):
    show = built(tmp_path, with_cine())
    data = [i.plain for i in show.told[1].page.items if isinstance(i, Text) and i.role == "data"]
    assert data[0].endswith(" · moving from 2 to 6 mm")
    sentence = "Picture 1 of 2 moves by itself: moving from 2 to 6 mm."
    script = (tmp_path / "out" / "script.md").read_text(encoding="utf-8")
    assert f"*{sentence}*" in script
    assert f"[{sentence}]" in show.pages[1].notes


def test_the_record_says_of_what_a_moving_picture_was_made(tmp_path):
    built(tmp_path, with_cine())
    record = json.loads((tmp_path / "out" / "record.json").read_text(encoding="utf-8"))
    movie = record["movies"]["base, moving from 2 to 6 mm"]
    assert movie["places"] == [4, 5, 6, 2, 3]
    assert len(movie["sop_uids"]) == 5


def test_two_builds_of_a_moving_picture_are_alike(tmp_path):
    files = []
    for folder in ("a", "b"):
        built(tmp_path / folder, with_cine())
        files.append((tmp_path / folder / "out" / "deck.pptx").read_bytes())
    assert files[0] == files[1]


def test_a_panel_shows_the_picture_at_rest(tmp_path):
    text = TALK.replace(
        "    views: [{view: base, regions: [coil], caption: Section through the base}]",
        f"    views: [{{view: base, regions: [coil], cine: {CINE}}}]",
    )
    assert text != TALK
    build_panels(write_talk(tmp_path, text), tmp_path / "out", None, no_progress)
    words = PdfReader(tmp_path / "out" / "coil.pdf").pages[0].extract_text()
    assert "moving" not in words
    record = json.loads((tmp_path / "out" / "coil.json").read_text(encoding="utf-8"))
    assert record["movies"] == {}


def test_a_projection_turns_without_letters_that_would_be_wrong(tmp_path):
    show = built(tmp_path, turning())
    [gif] = gifs(tmp_path)
    assert Image.open(io.BytesIO(gif)).n_frames == 8
    items = show.told[1].page.items
    group = next(i for i in items if isinstance(i, Group) and " of front" in i.name)
    letters = {i.plain for i in group.items if isinstance(i, Text)}
    assert {"H", "F"} <= letters
    assert not {"R", "L"} & letters
    data = [i.plain for i in items if isinstance(i, Text) and i.role == "data"]
    assert data[1].endswith(" · turning in 8 steps, seen from the front first")


def test_a_turning_picture_is_as_wide_as_its_frames(tmp_path):
    show = built(tmp_path, turning())
    [gif] = gifs(tmp_path)
    frames = list(read_frames(Image.open(io.BytesIO(gif))))
    items = show.told[1].page.items
    picture = next(i for i in items if isinstance(i, Picture) and i.moving)
    rows, columns = frames[0].shape
    # 32 by 10 mm: the grey of the corners is seen, 16.5 mm from the axis
    assert columns >= 33
    assert picture.drawn.shape == (rows, columns)
    assert picture.box.width_mm / picture.box.height_mm == pytest.approx(columns / rows)
    assert np.array_equal(picture.drawn, frames[0])
    assert show.sights.views["front"].picture.grid.columns == 32


@pytest.mark.parametrize(
    ("cine", "told"),
    [
        (
            "{from_mm: 2}",
            "slides[1].views[0].cine: needs both `from_mm` and `to_mm`, both `from_slice` and "
            "`to_slice`, or both `before_mm` and `behind_mm`. Write one of the three forms.",
        ),
        (
            "{from_slice: 2, to_slice: 3}",
            "slides[1].views[0].cine: `from_slice` counts acquired slices, and `base` is written "
            "in millimetres. Write `from_mm` and `to_mm`.",
        ),
        (
            "{before_mm: 2, behind_mm: 3}",
            "slides[1].views[0].cine: `base` has the plane axial, whose way is not written so. "
            "Write `from_mm` and `to_mm`, or `from_slice` and `to_slice` for a slice.",
        ),
        (
            "{from_mm: 5, to_mm: 7}",
            "slides[1].views[0].cine: the view lies at 4, which is not between 5 and 7. Let the "
            "way go through the view's own place, which is shown first and in print.",
        ),
        (
            "{from_mm: 2, to_mm: 70, step_mm: 4}",
            "slides[1].views[0].cine: at_mm: 8 lies outside the scan along z. Write at_mm, from "
            "0.0 to 7.0 mm.",
        ),
    ],
)
def test_ways_that_cannot_be_gone_are_told_at_their_line(tmp_path, cine, told):
    assert said(tmp_path, with_cine(cine)) == [told]


OBLIQUE = """\
    plane: oblique
    normal: [0, 0.2, 1]
    through_mm: [[15, 12, 4]]
"""
CURVED = """\
    plane: curved
    path_mm: [[6, 12, 3], [15, 14, 4], [25, 12, 3]]
    across: [0, 1, 0]
    width_mm: 14
"""
AXIAL = "    plane: axial\n    at_mm: 4\n"


@pytest.mark.parametrize("plane", [OBLIQUE, CURVED], ids=["oblique", "curved"])
def test_pictures_in_any_direction_and_bent_ones_move_too(tmp_path, plane):
    text = with_cine("{before_mm: 2, behind_mm: 1, step_mm: 0.5}").replace(AXIAL, plane)
    text = text.replace(
        "center_mm: [16, 12]\n    radii_mm: [5, 4]", "center_mm: [0, 0]\n    radii_mm: [5, 4]"
    )
    show = built(tmp_path, text)
    image = Image.open(io.BytesIO(gifs(tmp_path)[0]))
    assert image.n_frames == 7
    frames = list(read_frames(image))
    # the bright bar moves to the patient's left, slice by slice from the feet: into the picture
    bright = [np.nonzero(frame > 160)[1].mean() / frame.shape[1] for frame in frames]
    ordered = [*bright[3:], *bright[:3]]  # begins at the view's own place: 0, 0.5, 1, -2 ... -0.5
    assert bright.index(max(bright)) == 2
    assert bright.index(min(bright)) == 3
    assert ordered == sorted(ordered)
    data = [i.plain for i in show.told[1].page.items if isinstance(i, Text) and i.role == "data"]
    assert data[0].endswith(" · moving from 2 mm before it to 1 mm behind it in steps of 0.5 mm")


def test_a_picture_in_two_windows_moves_in_both(tmp_path):
    text = with_cine().replace(
        "window: {center: 100, width: 400}", "window: {split: [soft_tissue, bone]}"
    )
    built(tmp_path, text)
    first, *_ = read_frames(Image.open(io.BytesIO(gifs(tmp_path)[0])))
    left, right = first[0, 2], first[0, -2]  # the same value in two windows
    assert (int(left), int(right)) == (166, 85)


def test_a_part_shown_larger_cannot_stand_still_beside_a_moving_picture(tmp_path):
    inset = f"{CINE}, inset: {{region: coil, times: 1.5}}"
    assert said(tmp_path, with_cine(inset)) == [
        "slides[1].views[0].inset: the part shown larger would stand still while the picture moves."
        " Remove one of the two."
    ]


def test_a_way_out_of_the_scan_is_told_with_its_end(tmp_path):
    text = with_cine("{before_mm: 2, behind_mm: 30}").replace(AXIAL, OBLIQUE)
    (told,) = said(tmp_path, text.replace("[16, 12]", "[0, 0]"))
    assert told == (
        "slides[1].views[0].cine: behind_mm: 30 reaches out of the scan, which ends after 5.1 mm. "
        "Write 5 or less."
    )


def test_a_thin_view_cannot_turn(tmp_path):
    assert said(tmp_path, turning().replace(THICK, "    at_mm: 12\n")) == [
        "slides[1].views[1].turntable: `front` is no projection that could turn. Use a coronal "
        "view with `slab: max` and `slab_mm`, the depth of the box."
    ]


def test_marks_on_a_turning_picture_are_told(tmp_path):
    text = turning().replace("turntable: {frames: 8}", "regions: [gap], turntable: {frames: 8}")
    assert said(tmp_path, text) == [
        "slides[1].views[1].regions: marks would stay where they are while the picture turns. "
        "Show the regions on a view that stands still."
    ]
