"""Synthetic CT series of an invented Late Bronze Age urn in its soil block.

Made from integer seeds by arithmetic that IEEE 754 fixes: the same bytes on every machine.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from .generator import coil, pieces, scanner, surroundings
from .generator.canvas import Canvas, Frame
from .generator.ceramics import paint_ceramics
from .generator.dicom_files import series_template, write_image
from .generator.fill import heights, paint_fill
from .generator.scanner import Kernel
from .generator.textures import Textures
from .generator.things import strewn


@dataclass(frozen=True)
class Stack:
    """How a series is taken: from `top_z_mm` down, `spacing_mm` apart."""

    description: str
    number: int
    frame: Frame
    top_z_mm: float
    spacing_mm: float
    count: int
    kernel: Kernel

    def z_mm(self, index: int) -> float:
        return self.top_z_mm - index * self.spacing_mm


SERIES: dict[str, Stack] = {
    "urn": Stack(
        "Soil block, 1 mm, soft kernel",
        2,
        Frame(left_mm=-143.625, front_mm=-143.625, pixel_mm=0.75, size=384, edge_mm=0.9),
        top_z_mm=127.0,
        spacing_mm=1.0,
        count=242,
        kernel=Kernel(blur_passes=1, noise_hu=34, overshoot=0.0),
    ),
    "urn-fine": Stack(
        "Foot of the urn, 0.5 mm, bone kernel",
        3,
        Frame(left_mm=-38.0, front_mm=-61.0, pixel_mm=0.3, size=320, edge_mm=0.45),
        top_z_mm=-36.0,
        spacing_mm=0.5,
        count=104,
        kernel=Kernel(blur_passes=1, noise_hu=60, overshoot=0.5),
    ),
}
"""What can be made, by name."""


def slice_maker(name: str) -> Callable[[int], NDArray[np.uint16]]:
    """A function that makes the stored values of one slice of a series, counted from the top."""
    stack, textures = SERIES[name], Textures()
    surfaces = heights(textures, stack.frame.x, stack.frame.y)
    things = strewn()

    def make(index: int) -> NDArray[np.uint16]:
        canvas = Canvas(stack.frame, stack.z_mm(index), textures)
        surroundings.paint_surroundings(canvas)
        pieces.paint_things(canvas, things["soil"])
        paint_fill(canvas, surfaces)
        pieces.paint_things(canvas, things["fill"])
        pieces.paint_things(canvas, things["roots"])
        coil.paint_coil(canvas)
        paint_ceramics(canvas)
        return scanner.measured(canvas, stack.kernel, seed=stack.number * 1000 + index)

    return make


def write_series(name: str, folder: Path) -> None:
    """Write the series `name` of `SERIES` into `folder`, one file per slice."""
    write_images(name, folder, range(SERIES[name].count))


def write_images(name: str, folder: Path, indices: Iterable[int]) -> list[Path]:
    """Write some images of a series, counted from the top; returns their files."""
    stack = SERIES[name]
    make = slice_maker(name)
    template = series_template(name, stack.description, stack.number, stack.frame, stack.spacing_mm)
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for index in indices:
        position = (stack.frame.left_mm, stack.frame.front_mm, stack.z_mm(index))
        paths.append(folder / f"{index + 1:04d}.dcm")
        write_image(template, paths[-1], index + 1, position, make(index))
    return paths
