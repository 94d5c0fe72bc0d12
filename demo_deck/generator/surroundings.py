"""What the urn came in: couch, foam, board, plaster jacket and soil."""

import numpy as np

from . import geometry as g
from . import materials as hu
from .canvas import Canvas, fade, zigzag
from .draws import Floats

STRAPS_Z = ((-58.0, -30.0), (34.0, 62.0))


def block_distance(canvas: Canvas) -> Floats:
    """Distance (mm) from the face of the soil block, negative inside."""
    x, y, z = canvas.x, canvas.y, canvas.z
    xx, yy = x * x, y * y
    round_, square = np.sqrt(xx + yy), np.sqrt(np.sqrt(xx * xx + yy * yy))
    side = round_ * np.float32(0.62) + square * np.float32(0.38)
    side -= np.float32(119.5 - 0.016 * z) + np.float32(0.8) * canvas.cloud
    side += (xx - np.float32(0.6) * yy) * np.float32(0.00016) + x * y * np.float32(
        0.00011
    )  # cut by spade
    top = np.float32(z - g.BLOCK_TOP) + np.float32(1.8) * canvas.cloud
    return np.maximum(np.maximum(side, top), np.float32(g.BLOCK_BOTTOM - z))


def paint_surroundings(canvas: Canvas) -> Floats:
    """Paint all that is outside the urn; returns the cover of the soil."""
    block = block_distance(canvas)
    _couch_and_foam(canvas, block)
    _board(canvas)
    jacket = block - (
        np.float32(g.PLASTER_THICKNESS)
        + np.float32(0.55) * canvas.texture(canvas.textures.cloud, 90)
    )
    if canvas.z > g.BLOCK_BOTTOM - 1:
        for low, high in STRAPS_Z:
            if low < canvas.z < high:
                canvas.paint(
                    canvas.cover(jacket - np.float32(1.4)) * canvas.cover(-jacket), hu.STRAP
                )
        layers = (block * np.float32(1 / 2.1)) - np.floor(block * np.float32(1 / 2.1))
        gauze = np.float32(130) * (np.abs(layers - np.float32(0.5)) - np.float32(0.25))
        holes = fade(1.5, 2.3, canvas.grain) * np.float32(900)
        canvas.paint(
            canvas.cover(jacket),
            np.float32(hu.PLASTER) + gauze + np.float32(35) * canvas.grain - holes,
        )
        gap = canvas.cover(block - fade(0.4, 2.2, canvas.cloud) * np.float32(1.5))
        canvas.paint(gap, -520.0)
    soil = canvas.cover(block)
    canvas.paint(soil, _soil(canvas))
    return soil


def _soil(canvas: Canvas) -> Floats:
    """Dark fill in the pit, bedded sand outside it."""
    fine = canvas.texture(canvas.textures.grain, 37)
    value = np.float32(hu.SOIL) + np.float32(38) * canvas.cloud + np.float32(55) * fine
    flecks = fade(1.5, 2.2, canvas.texture(canvas.textures.grain, 19))
    value -= flecks * np.float32(420)
    beds = zigzag((np.float32(canvas.z) + np.float32(2.5) * canvas.cloud) * np.float32(1 / 5.2))
    sand = np.float32(hu.SUBSOIL) + np.float32(34) * beds + np.float32(48) * fine
    pit = np.maximum(
        canvas.radius - np.float32(g.pit_radius(canvas.z)), np.float32(g.PIT_FLOOR - canvas.z)
    )
    natural = canvas.cover((np.float32(-1.6) * canvas.cloud - pit) * np.float32(0.5))
    value += natural * (sand - value)
    value += fade(1.9, 2.6, canvas.grain) * np.float32(900)  # grit
    return value - fade(1.9, 2.7, -canvas.grain) * np.float32(620)  # crumb pores


def _couch_and_foam(canvas: Canvas, block: Floats) -> None:
    x, y = canvas.x, canvas.y
    couch = np.float32(139.0) - x * x * np.float32(0.00058)  # its upper face is hollow
    joint = np.abs(x + y * np.float32(0.15) - np.float32(9)) - np.float32(0.9)
    foam = np.maximum(np.float32(84) + np.abs(x) * np.float32(0.1) - y, y - couch)
    foam = np.maximum(
        np.maximum(foam, np.float32(8.6) - block), np.maximum(np.abs(x) - np.float32(131), -joint)
    )
    canvas.paint(canvas.cover(foam), np.float32(hu.FOAM) + np.float32(9) * canvas.grain)
    canvas.paint(canvas.cover(couch - y), hu.COUCH_CORE)
    canvas.paint(canvas.cover(np.abs(y - couch - np.float32(0.8)) - np.float32(0.8)), hu.COUCH_SKIN)


def _board(canvas: Canvas) -> None:
    low, high = g.BOARD
    if not low - 1 < canvas.z < high + 1:
        return
    depth = (canvas.z - low) / 2.5  # five plies
    glue = abs(depth - round(depth)) < 0.16
    across = canvas.x if int(depth) % 2 else canvas.y
    rings = across * np.float32(0.16) + canvas.cloud * np.float32(1.4)
    figure = np.abs(rings - np.floor(rings) - np.float32(0.5)) * np.float32(150)
    edge = np.maximum(np.abs(canvas.x), np.abs(canvas.y)) - np.float32(127)
    value = np.float32(hu.PLY_GLUE if glue else hu.PLY) + figure + np.float32(30) * canvas.grain
    share = np.float32(min(canvas.z - low + 1, high + 1 - canvas.z, 1.0))
    canvas.paint(canvas.cover(edge) * share, value)
