"""Windows as an author writes them: every form, and what is said of what cannot be."""

import pytest
from pydantic import TypeAdapter

from slidekit.storyboard.windows import (
    AnyWindow,
    AutomaticWindow,
    SplitWindow,
    StoredWindow,
    Window,
    halves_of,
)
from tests.storyboard.boards import complaints, read, spoiled, write
from tests.storyboard.names.test_faults import found

WRITTEN = "window: {center: 300, width: 1500}"

FORMS = [
    ("window: bone", "bone"),
    (WRITTEN, Window(center=300, width=1500)),
    (
        "window: {center: -20.5, width: 0.5, curve: sigmoid}",
        Window(center=-20.5, width=0.5, curve="sigmoid"),
    ),
    ("window: {stored: 2}", StoredWindow(stored="2")),
    ("window: {stored: LUNG WIDE}", StoredWindow(stored="LUNG WIDE")),
    ("window: {percentiles: [1, 99.5]}", AutomaticWindow(percentiles=(1, 99.5))),
    (
        "window: {percentiles: [2, 98], region: wall, curve: linear_exact}",
        AutomaticWindow(percentiles=(2, 98), region="wall", curve="linear_exact"),
    ),
    (
        "window: {split: [bone, {stored: table}]}",
        SplitWindow(split=("bone", StoredWindow(stored="table"))),
    ),
]


@pytest.mark.parametrize(("text", "window"), FORMS)
def test_a_window_is_written_in_any_of_its_forms(text, window, tmp_path):
    view = read(tmp_path, spoiled(WRITTEN, text)).board.views["side"]
    assert view.window == window
    # what is read can be checked again: borrowing and cropping make new views of old ones
    assert TypeAdapter(AnyWindow).validate_python(window) == window


FAULTS = [
    (
        "window: {center: 40, width: 0, curve: sigmoid}",
        "12: views.side.window.width: `0` is too small. Write more than 0.",
    ),
    (
        "window: {center: 40, width: 0}",
        "12: views.side.window.width: `0` is too small. Write more than 0.",
    ),
    (
        "window: {center: 40, width: 400, curve: sigmoidal}",
        "12: views.side.window.curve: `sigmoidal` is not allowed here. Write `sigmoid` if you mean"
        " that; allowed are linear, linear_exact, sigmoid.",
    ),
    (
        "window: {percentiles: [99, 1]}",
        "12: views.side.window.percentiles: run downwards. Write the lower one first: [1, 99].",
    ),
    (
        "window: {percentiles: [50, 50]}",
        "12: views.side.window.percentiles: both are 50. Write two of them, as in [1, 99].",
    ),
    (
        "window: {percentiles: [1, 990]}",
        "12: views.side.window.percentiles[1]: `990` is too large. Write a number from 0 to 100.",
    ),
    (
        "window: {percentiles: 99}",
        "12: views.side.window.percentiles: `99` is not a list. Write [99, 99].",
    ),
    (
        "window: {percentile: [1, 99]}",
        "12: views.side.window.percentile: is not a field here. Write `percentiles` if you mean"
        " that.",
    ),
    (
        "window: {split: [bone]}",
        "12: views.side.window.split: has 1 entry. Write exactly 2.",
    ),
    (
        "window: {split: [bone, {center: 40}]}",
        "12: views.side.window.split[1].width: is missing. Add it, as in `width: 400`.",
    ),
    (
        "window: {split: [bone, {percentiles: [9, 1]}]}",
        "12: views.side.window.split[1].percentiles: run downwards. Write the lower one first:"
        " [1, 9].",
    ),
    (
        "window: {split: [bone, {split: [bone, bone]}]}",
        "12: views.side.window.split[1]: is split again. Write one window for each half.",
    ),
    (
        "window: {low: 0, high: 100}",
        "12: views.side.window.high: is not a field here. The fields here are center, curve,"
        " width.",
    ),
]


@pytest.mark.parametrize(("text", "message"), FAULTS)
def test_what_cannot_be_a_window_is_told(text, message, tmp_path):
    assert f"talk.yaml:{message}" in complaints(tmp_path, spoiled(WRITTEN, text))


NAME_FAULTS = [
    (
        "window: {split: [bone, bonne]}",
        "12: views.side.window.split[1]: the style `lecture-dark` has no window `bonne`. Write"
        " `bone` if you mean that; it has soft_tissue, bone, ceramic. Or write {center: 40, width:"
        " 400}.",
    ),
    (
        "window: {percentiles: [1, 99], region: cool}",
        "12: views.side.window.region: there is no region `cool`. Write `coil` if you mean that;"
        " the regions are coil, wall, plug.",
    ),
    (
        "window: {percentiles: [1, 99], region: wall}",
        "12: views.side.window.region: `wall` is a line, which has no inside. Name an ellipse, a"
        " rectangle or a polygon.",
    ),
    (
        "window: {split: [bone, {percentiles: [1, 99], region: coil}]}",
        "12: views.side.window.split[1].region: `coil` belongs to the view `base`, which shows"
        " another plane. Name a region of this view, or leave `region` out.",
    ),
]


@pytest.mark.parametrize(("text", "message"), NAME_FAULTS)
def test_names_in_a_window_lead_somewhere(text, message, tmp_path):
    assert message in found(tmp_path, spoiled(WRITTEN, text))


def test_a_region_of_the_same_plane_in_another_window_will_do(tmp_path):
    again = (
        "  again: {scan: urn, plane: axial, at_mm: -112, slab_mm: 4,"
        " window: {percentiles: [1, 99], region: coil}}\nregions:\n"
    )
    assert found(tmp_path, spoiled("regions:\n", again)) == []


def test_halves_have_paths_of_their_own():
    split = SplitWindow(split=("bone", Window(center=1, width=2)))
    assert list(halves_of(split)) == [
        (("split", 0), "bone"),
        (("split", 1), Window(center=1, width=2)),
    ]
    assert list(halves_of("bone")) == [((), "bone")]


def test_a_borrowed_slide_brings_the_region_of_its_window(tmp_path):
    window = "window: {percentiles: [1, 99], region: hole}"
    hole = "  hole: {view: side, shape: ellipse, center_mm: [9, 9], radii_mm: [3, 3], called: x}\n"
    lent = spoiled("  wall: {view", f"{hole}  wall: {{view", spoiled(WRITTEN, window))
    write(tmp_path / "full", lent)
    short = (
        "talk: {title: Short, slot_min: 5}\nborrow: {full: ../full/talk.yaml}\nslides:\n"
        "  - {kind: borrowed, origin: full, slide: coil}\n"
    )
    board = read(tmp_path / "short", short).board
    assert set(board.regions) == {"coil", "wall", "hole"}
