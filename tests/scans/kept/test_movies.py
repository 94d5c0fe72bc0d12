import numpy as np

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.kept.movies import kept_movie
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.movies import Movie
from tests.scans.dicom_series import write_series

ASKED = (PlaneRequest("axial", 2.0), (GreyWindow(40, 400),), {"fps": 8.0, "longest_px": None})


class Maker:
    def __init__(self):
        self.count = 0

    def __call__(self) -> Movie:
        self.count += 1
        return Movie(b"GIF89a\n\x00" + bytes([self.count]), 2, 120, 4, 5, ("1.2.3",), (2.0, 3.0))


def series_of(folder, level: int = 100):
    return choose_series(
        index_folder(write_series(folder, np.full((4, 6, 6), level, np.int16))), None
    )


def test_a_movie_is_made_once(tmp_path):
    make, series = Maker(), series_of(tmp_path)
    first, second = kept_movie(series, ASKED, make), kept_movie(series, ASKED, make)
    assert make.count == 1
    assert first == second


def test_a_movie_is_made_again_of_other_files_or_for_another_wish(tmp_path):
    make, series = Maker(), series_of(tmp_path / "a")
    kept_movie(series, ASKED, make)
    kept_movie(series, (*ASKED[:2], {"fps": 9.0, "longest_px": None}), make)
    kept_movie(series_of(tmp_path / "b", 200), ASKED, make)
    assert make.count == 3


def test_who_verifies_is_given_a_new_one(tmp_path):
    make, series = Maker(), series_of(tmp_path)
    kept_movie(series, ASKED, make)
    kept_movie(series, ASKED, make, verify=True)
    assert make.count == 2
