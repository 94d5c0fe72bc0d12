"""What lies in the urn: bone in ash, a band of charcoal, sand and gravel, and washed-in silt."""

import numpy as np

from . import geometry as g
from . import materials as hu
from .canvas import Canvas, fade
from .draws import Draws, Floats
from .textures import Textures

LAMINA_STEP = 0.25  # mm, of the table below


def _laminae() -> Floats:
    """CT number by height above the lowest layer: each flood settles coarse below, fine above."""
    draws = Draws(31)
    values: list[float] = []
    while len(values) < 400:
        thickness = draws.between(1.6, 5.5)
        coarse, fine = draws.between(690, 800), draws.between(520, 600)
        count = int(thickness / LAMINA_STEP)
        values += [coarse + (fine - coarse) * min(1.0, 1.15 * k / count) for k in range(count)]
    return np.array(values[:400], np.float32)


LAMINAE = _laminae()


def heights(textures: Textures, x: Floats, y: Floats) -> dict[str, Floats]:
    """Height (mm) of the surfaces between the layers, (row, column)."""
    cloud = textures.cloud.plane(123.0, y, x)
    other = textures.cloud.plane(60.0, y, x)
    charcoal_from, charcoal_to = g.charcoal_band(x, y, cloud)
    slope = g.silt_slope(x, y, other)
    return {
        "charcoal_from": charcoal_from,
        "charcoal_to": charcoal_to,
        "slope": slope,
        "silt_top": np.float32(g.SILT_TOP) + slope + np.float32(0.7) * cloud,
    }


def paint_fill(canvas: Canvas, surfaces: dict[str, Floats]) -> Floats:
    """Paint the inside of the urn; returns its cover."""
    cavity = canvas.distance(g.CAVITY)
    inside = canvas.cover(cavity)
    if not inside.any():
        return inside
    z, grain = np.float32(canvas.z), canvas.grain
    edge = np.float32(1 / canvas.frame.edge_mm)

    def below(height: Floats | np.float32) -> Floats:
        return np.clip(np.float32(0.5) - (z - height) * edge, 0, 1)

    value = np.full_like(canvas.hu, hu.AIR)

    def lay(cover: Floats, material: Floats) -> None:
        nonlocal value
        value += cover * (material - value)

    lay(below(surfaces["silt_top"]), _washed_in(canvas, surfaces["slope"]))
    level = np.float32(g.LAMINATED_FROM) + surfaces["slope"]
    lay(below(level), np.float32(hu.SILT) + np.float32(20) * canvas.cloud + np.float32(34) * grain)
    lay(_gravel_lens(canvas), np.float32(hu.SAND) + np.float32(110) * grain)
    lay(below(surfaces["charcoal_to"]), _with_charcoal_dust(canvas))
    lay(below(surfaces["charcoal_from"]), _bony_ash(canvas))
    # the fill has shrunk from the wall above the gravel
    settled = fade(20, 30, np.full((1, 1), canvas.z, np.float32)) * fade(0.0, 1.5, canvas.cloud)
    gap = canvas.cover(-(cavity + np.float32(1.5) * settled)) * (settled > 0)
    lay(gap * below(surfaces["silt_top"]), np.full_like(value, -420))
    canvas.paint(inside, value)
    return inside


def _washed_in(canvas: Canvas, slope: Floats) -> Floats:
    above = np.float32(canvas.z - g.LAMINATED_FROM + 8) - slope
    index = np.clip(above * np.float32(1 / LAMINA_STEP), 0, len(LAMINAE) - 1).astype(np.int32)
    return LAMINAE[index] + np.float32(22) * canvas.grain


def _gravel_lens(canvas: Canvas) -> Floats:
    (cx, cy, cz), (rx, ry, rz) = g.GRAVEL_CENTER, g.GRAVEL_RADII
    u = (canvas.x - np.float32(cx)) * np.float32(1 / rx)
    v = (canvas.y - np.float32(cy)) * np.float32(1 / ry)
    w = np.float32((canvas.z - cz) / rz)
    away = np.sqrt(u * u + v * v + w * w) - np.float32(1)
    return canvas.cover(away * np.float32(rz) + np.float32(0.8) * canvas.cloud)


def _with_charcoal_dust(canvas: Canvas) -> Floats:
    value = (
        np.float32(hu.CHARCOAL_SILT) + np.float32(55) * canvas.cloud + np.float32(70) * canvas.grain
    )
    return value - fade(1.0, 1.8, canvas.texture(canvas.textures.grain, 51)) * np.float32(650)


def _bony_ash(canvas: Canvas) -> Floats:
    value = np.float32(hu.ASH_SILT) + np.float32(45) * canvas.cloud + np.float32(48) * canvas.grain
    crumbs = fade(1.6, 2.2, canvas.texture(canvas.textures.grain, 23))
    value += crumbs * np.float32(750)
    return value - fade(1.9, 2.5, -canvas.grain) * np.float32(500)
