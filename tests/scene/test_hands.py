"""Left is left: a block with one marked corner, however it was scanned, in every kind of picture.

The letters at the edges are held against where the mark is seen; nothing is asked of the geometry
that made them (PS3.3 C.7.6.1.1.1: patient's left is +x, back is +y, head is +z).
"""

import io

import numpy as np
import pytest
from PIL import Image
from scipy.spatial.transform import Rotation

from slidekit.build import Options, compose_show
from slidekit.scene.model import Group, Picture, Polyline
from tests.scans.dicom_series import Placement, write_series
from tests.talks import no_progress

MARK = np.array([12.0, -9.0, 8.0])  # left, front, head; the block's middle is at 0, 0, 0
SIDES = {"L": (0, 1), "R": (0, -1), "P": (1, 1), "A": (1, -1), "H": (2, 1), "F": (2, -1)}
COUNTS, SPACING, STEP = (34, 40, 44), (0.9, 0.8), 1.1  # slices, rows, columns; mm

AXIAL, CORONAL, SAGITTAL = (1, 0, 0, 0, 1, 0), (1, 0, 0, 0, 0, -1), (0, 1, 0, 0, 0, -1)
SCANS = {
    "axial": (AXIAL, 0.0, 0.0),
    "axial, from the head": ((-1, 0, 0, 0, 1, 0), 0.0, 0.0),
    "axial, upside down": ((1, 0, 0, 0, -1, 0), 0.0, 0.0),
    "coronal": (CORONAL, 0.0, 0.0),
    "sagittal": (SAGITTAL, 0.0, 0.0),
    "slanted": (AXIAL, 14.0, 0.0),
    "tilted": (AXIAL, 0.0, 0.4),
}

VIEWS = """\
  axial: {scan: block, plane: axial, at_mm: 8, window: &grey {center: 500, width: 900}}
  coronal: {scan: block, plane: coronal, at_mm: -9, window: *grey}
  sagittal: {scan: block, plane: sagittal, at_mm: 12, window: *grey}
  thick: {scan: block, plane: axial, at_mm: 6, slab_mm: 8, slab: max, window: *grey}
  mean: {scan: block, plane: coronal, at_mm: -8, slab_mm: 4, window: *grey}
  cropped: {scan: block, plane: coronal, at_mm: -9, crop_mm: [[-14, -12], [14, 12]], window: *grey}
  oblique: {scan: block, plane: oblique, normal: [0.3, 1, 0.4], through_mm: [[12, -9, 8]], window: *grey}
  along: {scan: block, plane: oblique, along_mm: [[-10, -6, -8], [12, -9, 8]], facing: coronal, window: *grey}
  down: {scan: block, plane: curved, path_mm: [[12, -8, -12], [12, -11, 0], [12, -9, 8], [12, -8, 12]], across: [1, 0, 0], width_mm: 10, window: *grey}
  level: {scan: block, plane: curved, path_mm: [[-12, -8, 8], [0, -11, 8], [12, -9, 8]], across: [0, 0, 1], width_mm: 18, window: *grey}
  turned: {scan: block, plane: coronal, at_mm: 0, slab_mm: 26, slab: max, crop_mm: [[-16, -13], [16, 13]], window: *grey}
  far: {scan: block, plane: oblique, normal: [0, 1, 0.2], through_mm: [[0, 0, 0]], window: *grey}
"""  # noqa: E501 - one view, one line
SLIDES = [
    "[{view: axial, locator: coronal}, {view: coronal, locator: sagittal}, {view: sagittal}]",
    "[{view: thick}, {view: mean}, {view: cropped}]",
    "[{view: oblique, inset: {center_mm: [12, -9, 8], size_mm: [6, 6], times: 2}}, {view: along}]",
    "[{view: down}, {view: level}]",
    "[{view: turned, turntable: {frames: 8}}]",
    "[{view: far, locator: axial, cine: {before_mm: 12, behind_mm: 4, step_mm: 1}}]",
]


def write_block(folder, orientation, turned_deg: float, tilt: float) -> None:
    """A block of 100 with a cube of 1000 around the mark, 5 mm wide."""
    turn = Rotation.from_euler("xyz", [turned_deg] * 3, degrees=True)
    row, column = turn.apply(orientation[:3]), turn.apply(orientation[3:])
    step = STEP * np.cross(row, column) + tilt * column
    middle = (np.array(COUNTS) - 1) / 2
    first = -(middle[0] * step + middle[1] * SPACING[0] * column + middle[2] * SPACING[1] * row)
    placement = Placement((*row, *column), first, step, *SPACING)
    places = placement.lps(np.stack(np.indices(COUNTS), axis=-1).reshape(-1, 3))
    marked = (np.abs(places - MARK) <= 2.5).all(axis=1).reshape(COUNTS)
    ground = np.random.default_rng(1).integers(90, 110, COUNTS)  # no two frames are alike
    write_series(folder, np.where(marked, 1000, ground).astype(np.int16), placement)


@pytest.fixture(scope="module", params=SCANS.values(), ids=SCANS.keys())
def show(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("hands")
    write_block(folder / "block", *request.param)
    slides = "".join(
        f"  - {{id: s{k}, kind: scan, title: Block {k}, views: {views}}}\n"
        for k, views in enumerate(SLIDES)
    )
    talk = folder / "talk.yaml"
    talk.write_text(
        "talk: {title: A block, slot_min: 2}\n"
        "scans: {block: {folder: block, credit: Made for a test, rights: CC0 1.0}}\n"
        f"views:\n{VIEWS}slides:\n{slides}",
        encoding="utf-8",
    )
    return compose_show(talk, Options(), no_progress)


def seen_at(pixels: np.ndarray) -> np.ndarray:
    """Where the mark is seen: columns to the right and rows down from the picture's middle."""
    rows, columns = np.nonzero(pixels > 160)
    assert len(rows) > 4
    middle = (np.array(pixels.shape) - 1) / 2
    return np.array([columns.mean() - middle[1], rows.mean() - middle[0]])


def assert_on_its_side(letters, at: np.ndarray) -> int:
    """The edges nearest to the mark bear the letters of its sides; how many edges said so."""
    left, top, right, bottom = letters
    told = 0
    for before, after, offset in ((left, right, at[0]), (top, bottom, at[1])):
        for letter, direction in ((after[:1], 1), (before[:1], -1)):
            if letter and abs(offset) > 1:
                axis, sign = SIDES[letter]
                assert np.sign(MARK[axis] * sign) == np.sign(offset) * direction, letters
                told += 1
    return told


FLAT = ["axial", "coronal", "sagittal", "thick", "mean", "cropped", "along"]


@pytest.mark.parametrize("name", FLAT)
def test_the_mark_is_seen_at_the_sides_that_the_letters_name(show, name):
    picture = show.sights.views[name].picture
    told = assert_on_its_side(picture.letters, seen_at(picture.pixels))
    assert told == 4 if name != "along" else told >= 2  # the mark lies on the line itself


@pytest.mark.parametrize(("name", "edges"), [("down", (1, 3)), ("level", (0, 2))])
def test_a_curved_picture_is_no_mirror_image(show, name, edges):
    picture = show.sights.views[name].picture
    # the mark lies on the path, at its end to the head, or to the patient's left
    only = tuple(letter if i in edges else "" for i, letter in enumerate(picture.letters))
    assert assert_on_its_side(only, seen_at(picture.pixels)) == 2
    # across the path: a second mark would lie to the patient's left, or to the head
    after = picture.letters[2] if name == "down" else picture.letters[1]
    assert after == ("L" if name == "down" else "H")


def test_a_part_shown_larger_is_turned_as_its_picture(show):
    [part] = [sight for name, sight in show.sights.views.items() if name.startswith("oblique, ")]
    whole = show.sights.views["oblique"].picture
    assert part.picture.letters == whole.letters
    assert np.abs(seen_at(part.picture.pixels)).max() * part.picture.grid.column_mm < 1.5
    # the picture's own middle is the mark's
    assert np.abs(np.subtract(whole.middle_lps, MARK)).max() < 1e-6


@pytest.mark.parametrize(("view", "locator"), [("axial", "coronal"), ("coronal", "sagittal")])
def test_the_line_on_a_locator_runs_through_the_mark(show, view, locator):
    items = show.told[0].page.items
    place = [i for i in items if isinstance(i, Picture) and i.name == locator]
    small = min(place, key=lambda one: one.box.width_mm)
    group = next(
        i for i in items if isinstance(i, Group) and i.name == f"Where {view} cuts {locator}"
    )
    line = next(one for one in group.items if isinstance(one, Polyline))
    at = seen_at(small.drawn) / np.array(small.drawn.shape[::-1]) + 0.5
    (x0, y0), (x1, y1) = line.points_mm
    mark = (
        small.box.left_mm + at[0] * small.box.width_mm,
        small.box.top_mm + at[1] * small.box.height_mm,
    )
    across = (x1 - x0) * (mark[1] - y0) - (y1 - y0) * (mark[0] - x0)
    away = abs(across) / np.hypot(x1 - x0, y1 - y0)
    assert away / small.box.width_mm < 0.04


def test_thin_lines_on_a_locator_are_the_ends_of_the_way(show):
    items = show.told[5].page.items
    group = next(i for i in items if isinstance(i, Group) and i.name == "Where far cuts axial")
    small = min(
        (i for i in items if isinstance(i, Picture) and i.name == "axial"),
        key=lambda one: one.box.width_mm,
    )
    lines = [one for one in group.items if isinstance(one, Polyline)]
    cut = next(one for one in lines if one.stroke.width_pt > 3)
    ends = [one for one in lines if one.stroke.width_pt == 1]
    assert len(ends) == 2
    mm = small.box.width_mm / show.sights.views["axial"].picture.grid.columns
    mm /= show.sights.views["axial"].picture.grid.column_mm
    # 12 mm nearer to the viewer, who stands in front, and 4 mm farther; tilted by 11 degrees
    slope = np.hypot(1, 0.2)
    away = sorted((one.points_mm[0][1] - cut.points_mm[0][1]) / mm / slope for one in ends)
    assert away == pytest.approx([-12, 4], abs=0.3)
    assert group.alt.endswith("Thin lines show how far it moves.")


def frames_of(show, slide: int) -> list[np.ndarray]:
    [picture] = [i for i in show.told[slide].page.items if isinstance(i, Picture) and i.moving]
    gif = Image.open(io.BytesIO(picture.moving))
    frames = []
    for k in range(gif.n_frames):
        gif.seek(k)
        frames.append(np.asarray(gif.convert("L")))
    return frames


def test_the_mark_comes_up_on_its_side_and_in_its_place_while_a_picture_moves(show):
    frames = frames_of(show, 5)
    [movie] = [movie for name, movie in show.sights.movies.items() if name.startswith("far")]
    bright = [int((frame > 160).sum()) for frame in frames]
    shown = [place for place, count in zip(movie.places, bright, strict=True) if count > 4]
    # into the picture is to the back: the mark lies (0, 1, 0.2) . mark = -7.3 mm from the view
    across = float(np.dot((0, 1, 0.2), MARK) / np.linalg.norm((0, 1, 0.2)))
    assert min(shown) <= across <= max(shown)
    assert abs((min(shown) + max(shown)) / 2 - across) <= 1.0
    best = frames[int(np.argmax(bright))]
    assert_on_its_side(show.sights.views["far"].picture.letters, seen_at(best))


def test_a_turning_block_is_seen_from_the_front_then_from_its_left(show):
    frames = frames_of(show, 4)
    front, left, back, right = (seen_at(frames[k]) for k in (0, 2, 4, 6))
    assert_on_its_side(("R", "H", "L", "F"), front)
    assert_on_its_side(("A", "H", "P", "F"), left)
    assert_on_its_side(("L", "H", "R", "F"), back)
    assert_on_its_side(("P", "H", "A", "F"), right)
