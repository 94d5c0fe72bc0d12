"""Slices of the demo's synthetic series, made one by one: a whole series takes seconds."""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from slidekit.scans.demo import demo_series_folder, load_generator


class Slice(NamedTuple):
    """CT numbers (row, column) and the patient millimetres of columns and rows."""

    hu: NDArray[np.int32]
    x_mm: NDArray[np.float32]  # (1, columns)
    y_mm: NDArray[np.float32]  # (rows, 1)

    def within(self, x: float, y: float, radius: float) -> NDArray[np.int32]:
        """Values of the pixels whose centres lie within `radius` of a place."""
        return self.hu[(self.x_mm - x) ** 2 + (self.y_mm - y) ** 2 <= radius**2]


@pytest.fixture(scope="session")
def synthesize() -> ModuleType:
    return load_generator()


@pytest.fixture(scope="session")
def slice_at(synthesize: ModuleType) -> Callable[[str, float], Slice]:
    maker = cache(synthesize.slice_maker)

    @cache
    def make(series: str, z_mm: float) -> Slice:
        stack = synthesize.SERIES[series]
        index = round((stack.top_z_mm - z_mm) / stack.spacing_mm)
        hu = maker(series)(index).astype(np.int32) - 1024
        return Slice(hu, stack.frame.x, stack.frame.y)

    return make


@pytest.fixture(scope="session")
def real_series(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Folder of a synthetic series by name, written once in a session."""
    cache_folder = tmp_path_factory.mktemp("cache")

    def folder(name: str) -> Path:
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("SLIDEKIT_CACHE", str(cache_folder))
            return demo_series_folder(name)

    return folder
