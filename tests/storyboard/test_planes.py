"""What an author may and may not write of oblique and curved views."""

import pytest

from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.read import read_storyboard
from tests.storyboard.boards import BOARD, read, spoiled
from tests.storyboard.names.test_faults import LOOK

SIDE = "plane: coronal, at_mm: 3.5,"


def found(folder, fields: str) -> list[str]:
    faults = find_name_faults(read(folder, spoiled(SIDE, fields)), **LOOK)
    return [str(fault).replace(f"{folder}/talk.yaml:12: views.side.", "") for fault in faults]


SOUND = [
    "plane: oblique, normal: [0, 1, 0.5], through_mm: [[1, 2, 3]],",
    "plane: oblique, normal: [0, 1, 0.5], through_mm: [[1, 2, 3]], up: [0, 0, 1],",
    "plane: oblique, through_mm: [[1, 2, 3], [4, 5, 6], [7, 8, 10]],",
    "plane: oblique, along_mm: [[1, 2, 3], [40, 5, 6]], facing: axial,"
    " crop_mm: [[-9, -9], [9, 9]],",
    "plane: curved, path_mm: [[1, 2, 3], [1, 5, 60]], across: [1, 0, 0], width_mm: 40,",
    "plane: curved, path: straight, path_mm: [[1, 2, 3], [1, 5, 60]], across: [1, 0, 0],"
    " width_mm: 40, crop_mm: [[-9, -9], [9, 9]],",
]


@pytest.mark.parametrize("fields", SOUND)
def test_every_way_to_give_a_plane_is_understood(fields, tmp_path):
    assert found(tmp_path, fields) == []


FAULTS = [
    (
        "plane: coronal, at_mm: 3.5, normal: [0, 1, 0],",
        "normal: `normal` belongs to an oblique view, and the plane is coronal. Remove it, or"
        " write `plane: oblique`.",
    ),
    (
        "plane: oblique, normal: [0, 1, 0], through_mm: [[1, 2, 3]], width_mm: 9,",
        "width_mm: `width_mm` belongs to a curved view, and the plane is oblique. Remove it, or"
        " write `plane: curved`.",
    ),
    (
        "plane: oblique, normal: [0, 1, 0], at_mm: 4, through_mm: [[1, 2, 3]],",
        "at_mm: `at_mm` has no meaning for a plane that is oblique. Say where it lies by `normal`"
        " and `through_mm`, or by `along_mm` and `facing`.",
    ),
    (
        "plane: oblique,",
        "normal: is missing. Add it with `through_mm`, or write three places in `through_mm`, or"
        " `along_mm` and `facing`.",
    ),
    (
        "plane: oblique, normal: [0, 1, 0],",
        "through_mm: is missing beside `normal`. Write one place, as in `through_mm: [[12.5, -40,"
        " 80]]`.",
    ),
    (
        "plane: oblique, through_mm: [[1, 2, 3]],",
        "through_mm: one place fixes no plane. Write three places, or one place and `normal`.",
    ),
    (
        "plane: oblique, through_mm: [[1, 2, 3], [4, 5, 6]],",
        "through_mm: two places fix no plane. Write three places, or one place and `normal`.",
    ),
    (
        "plane: oblique, along_mm: [[1, 2, 3], [4, 5, 6]],",
        "facing: is missing beside `along_mm`. Write axial, coronal or sagittal.",
    ),
    (
        "plane: oblique, along_mm: [[1, 2, 3], [4, 5, 6]], facing: axial, normal: [0, 0, 1],",
        "normal: `normal` and `along_mm` are both given. Write one of the two.",
    ),
    (
        "plane: oblique, normal: [0, 1, 0], through_mm: [[1, 2, 3]], facing: axial,",
        "facing: `facing` goes with `along_mm`. Remove it, or add `along_mm`.",
    ),
    (
        "plane: curved, across: [1, 0, 0], width_mm: 40,",
        "path_mm: is missing. Add it, as in `path_mm: [[0, 20, 10], [0, 26, 60], [0, 18, 110]]`.",
    ),
    (
        "plane: curved, path_mm: [[1, 2, 3], [1, 5, 60]], across: [1, 0, 0],",
        "width_mm: is missing. Add it, as in `width_mm: 60`.",
    ),
    (
        "plane: curved, slice: 3, path_mm: [[1, 2, 3], [1, 5, 60]], across: [1, 0, 0],"
        " width_mm: 9,",
        "slice: `slice` has no meaning for a plane that is curved. Say where it lies by `path_mm`.",
    ),
]


@pytest.mark.parametrize(("fields", "message"), FAULTS)
def test_what_fixes_no_plane_is_told_with_what_would(fields, message, tmp_path):
    assert found(tmp_path, fields) == [message]


def test_pixels_do_not_lie_on_an_oblique_view(tmp_path):
    text = BOARD.replace(SIDE, SOUND[0]).replace(
        "  wall: {view: side",
        "  dot: {view: side, shape: point, at_px: [3, 4], called: it}\n  wall: {view: side",
    )
    faults = find_name_faults(read(tmp_path, text), **LOOK)
    assert [fault.wrong for fault in faults] == [
        "`at_px` counts pixels of an acquired slice, and `side` is oblique"
    ]


def test_a_borrowed_slide_brings_its_oblique_view_along(tmp_path):
    (tmp_path / "first").mkdir()
    fields = SOUND[3]
    (tmp_path / "first" / "talk.yaml").write_text(spoiled(SIDE, fields), encoding="utf-8")
    (tmp_path / "second.yaml").write_text(
        "talk: {title: Again, slot_min: 5}\nborrow: {first: first/talk.yaml}\nslides:\n"
        "  - {kind: borrowed, origin: first, slide: coil}\n",
        encoding="utf-8",
    )
    board = read_storyboard(tmp_path / "second.yaml").board
    own = read(tmp_path, spoiled(SIDE, fields)).board
    (name,) = [name for name, view in board.views.items() if view.plane == "oblique"]
    assert board.views[name].along_mm == own.views["side"].along_mm
