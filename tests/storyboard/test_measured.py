import pytest

from slidekit.storyboard.measured import MEASURED_PARTS, PARTS_OF
from slidekit.storyboard.read import read_storyboard
from tests.storyboard.boards import complaints, read, spoiled, write

METAL = """\
volumes:
  metal:
    scan: urn
    shape: box
    center_mm: [12, -3, -62.5]
    size_mm: [40, 30, 20]
    from_value: 2000
    called: the metal
chronology:
"""


def with_volume(old: str = "", new: str = "") -> str:
    return spoiled("chronology:\n", METAL.replace(old, new) if old else METAL)


def test_a_volume_is_read(tmp_path):
    metal = read(tmp_path, with_volume()).board.volumes["metal"]
    assert (metal.half_mm, metal.from_value, metal.to_value) == ((20, 15, 10), 2000, None)


def test_an_ellipsoid_has_its_radii(tmp_path):
    text = with_volume("shape: box", "shape: ellipsoid").replace("size_mm: [40", "radii_mm: [40")
    assert read(tmp_path, text).board.volumes["metal"].half_mm == (40, 30, 20)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("shape: box", "shape: ellipsoid", "an ellipsoid needs `radii_mm` alone. Write `radii_mm`"),
        ("size_mm", "radii_mm", "a box needs `size_mm` alone. Write `size_mm`"),
        (
            "    from_value: 2000\n",
            "",
            "needs `from_value`, `to_value`, or both. Write the values that shall count",
        ),
        (
            "from_value: 2000",
            "from_value: 2000\n    to_value: 3",
            "`from_value` is greater than `to_value`. Exchange the two, or mend one of them",
        ),
    ],
)
def test_a_volume_that_says_too_little_or_too_much_is_told(tmp_path, old, new, message):
    assert complaints(tmp_path, with_volume(old, new)) == [
        f"talk.yaml:24: volumes.metal: {message}."
    ]


def test_an_angle_whose_arm_has_no_length_is_told(tmp_path):
    angle = "shape: angle, vertex_px: [1, 2], arms_px: [[9, 2], [1, 2]], called: the plug}"
    text = spoiled("shape: polygon, points_px: [[1, 2], [9, 2], [5, 9]], called: the plug}", angle)
    assert complaints(tmp_path, text) == [
        "talk.yaml:22: regions.plug: an arm of the angle ends where it begins. Write the far end of"
        " the arm."
    ]


def test_a_borrowed_slide_brings_the_volumes_and_regions_of_its_words_and_captions(tmp_path):
    words = "It holds {metal}. That was in {late}."
    text = with_volume().replace("That was in {late}.", words)
    text = text.replace("caption: Seen from below", "caption: 'Beside {plug.called}'")
    write(tmp_path, text)
    borrower = "talk: {title: x, slot_min: 5}\nborrow: {urn: talk.yaml}\nslides:\n"
    borrower += "  - {kind: borrowed, origin: urn, slide: coil}\n"
    path = write(tmp_path, borrower, "other.yaml")
    board = read_storyboard(path).board
    assert set(board.volumes) == {"metal"}
    assert set(board.regions) == {"coil", "wall", "plug"}


def test_every_part_that_can_be_measured_belongs_to_a_shape():
    assert {"mean", "sd", "median", "min", "max", "n", "area", "perimeter"} <= MEASURED_PARTS
    assert {"feret", "length", "angle", "warning"} <= MEASURED_PARTS
    assert set(PARTS_OF) == {"ellipse", "rectangle", "polygon", "line", "angle", "arrow", "point"}
