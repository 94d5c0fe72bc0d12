"""Windows as views ask for them, and as data lines say them."""

import numpy as np
import pytest

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import (
    AutomaticWindow,
    GreyWindow,
    LookupTable,
    Outline,
    PlaneRequest,
)
from slidekit.scans.planes.read import planned_plane
from slidekit.scene.sights.windowing import (
    UsedWindow,
    Viewed,
    plain_number,
    wanted_windows,
    windows_in_words,
)
from slidekit.storyboard.views import View
from tests.scans.dicom_series import Attributes, write_series
from tests.scene.builders import DARK

OUTLINE = Outline("polygon", ((0, 0, 0), (4, 0, 0), (4, 4, 0)))
EVERY = {"WindowCenter": [40, 400], "WindowWidth": [350, 1800], "VOILUTFunction": "SIGMOID"}


@pytest.fixture(scope="module")
def series(tmp_path_factory):
    folder = tmp_path_factory.mktemp("windows")
    some = {5: {"WindowCenter": [50, 400]}}
    write_series(folder, np.zeros((9, 12, 12), np.int16), attributes=Attributes(EVERY, some))
    return choose_series(index_folder(folder), None)


def wanted(series, window, plane="acquired", **place):
    place = place or {"slice": 1}
    view = View(scan="ct", plane=plane, window=window, **place)
    request = PlaneRequest(plane, place.get("at_mm"), place.get("slice"))
    viewed = Viewed(series, planned_plane(series, request), lambda name: (f"the {name}", OUTLINE))
    return wanted_windows(view, viewed, DARK)


def test_a_named_window_comes_from_the_style(series):
    (window,) = wanted(series, "soft_tissue")
    named = DARK.windows["soft_tissue"]
    assert window.scale == GreyWindow(named.center, named.width)
    assert (window.origin, window.name, window.note) == ("style", "soft_tissue", "")


def test_a_window_of_the_author_has_its_curve_and_no_name(series):
    (window,) = wanted(series, {"center": 30, "width": 0.5, "curve": "sigmoid"})
    assert window.scale == GreyWindow(30, 0.5, "sigmoid")
    assert (window.origin, window.name, window.note) == ("author", "", "")


def test_a_stored_window_says_which_it_is_and_whose(series):
    (second,) = wanted(series, {"stored": 2})
    assert (second.scale, second.origin) == (GreyWindow(400, 1800, "sigmoid"), "files")
    assert second.note == "stored 2 of 2"
    (first,) = wanted(series, {"stored": 1}, slice=6)
    assert (first.scale.center, first.note) == (50, "stored 1 of 2, slice 6")


def test_a_plane_across_the_slices_takes_the_window_of_the_middle_one(series):
    (window,) = wanted(series, {"stored": 1}, plane="coronal", at_mm=3)
    assert (window.scale.center, window.note) == (40, "stored 1 of 2, slice 5")


def test_an_automatic_window_says_of_what(series):
    (window,) = wanted(series, {"percentiles": [2, 98.5], "region": "coil"})
    assert window.scale == AutomaticWindow((2, 98.5), None, OUTLINE)
    assert (window.origin, window.note) == ("values", "automatic, 2 to 98.5 % within the coil")


def test_halves_come_left_to_right(series):
    split = {"split": ["bone", {"percentiles": [1, 99]}]}
    left, right = wanted(series, split)
    assert (left.name, right.note) == ("bone", "automatic, 1 to 99 %")


def test_what_the_files_lack_is_told(series):
    with pytest.raises(ScanError, match=r"^There is no window 7 in the files\."):
        wanted(series, {"stored": 7})


WORDS = [
    (UsedWindow(GreyWindow(40, 400), "style", "soft_tissue"), "soft tissue 40/400 HU"),
    (UsedWindow(GreyWindow(-600, 1500), "author"), "−600/1500 HU"),
    (UsedWindow(GreyWindow(0.0325, 0.05, "linear_exact"), "author"),
     "0.0325/0.05 HU (linear exact)"),
    (UsedWindow(GreyWindow(2e7, 4e7, "sigmoid"), "files", "", "stored 1 of 2"),
     "20000000/40000000 HU (sigmoid, stored 1 of 2)"),
    (UsedWindow(LookupTable(0, (1, 2), 8), "files", "", "stored table"), "stored table"),
]  # fmt: skip


@pytest.mark.parametrize(("window", "words"), WORDS)
def test_a_window_in_words_is_what_another_needs_to_set_it(window, words):
    assert windows_in_words((window,), "HU") == words


def test_values_without_a_unit_get_none():
    assert windows_in_words((WORDS[0][0],), "") == "soft tissue 40/400"


def test_both_halves_are_said():
    halves = (WORDS[0][0], WORDS[4][0])
    words = "soft tissue 40/400 HU at left, stored table at right"
    assert windows_in_words(halves, "HU") == words


def test_labels_are_short():
    labels = [window.label for window, _ in WORDS]
    assert labels == ["soft tissue", "−600/1500", "0.0325/0.05", "20000000/40000000",
                      "stored table"]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "text"),
    [(40, "40"), (-0.0, "0"), (37.25, "37.25"), (1234567.8, "1234570"), (1 / 3, "0.333333")],
)
def test_numbers_are_plain(value, text):
    assert plain_number(value) == text
