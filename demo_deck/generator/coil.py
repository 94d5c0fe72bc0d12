"""A coil of bronze wire in cloth."""

import numpy as np

from . import geometry as g
from . import materials as hu
from .canvas import Canvas, turn_of, zigzag
from .draws import Floats

THREAD_SPACING = 1.25  # mm: eight threads to the centimetre
PLY = 1.4  # mm: the cloth goes round three times


def paint_coil(canvas: Canvas) -> None:
    """Paint cloth, corrosion and wire, and note where the metal is."""
    coil = g.COIL
    window = canvas.window(coil.center, 30)
    if window is None or abs(canvas.z - coil.center[2]) > 21:
        return
    rows, columns = window
    dx = canvas.x[:, columns] - np.float32(coil.center[0])
    dy = canvas.y[rows] - np.float32(coil.center[1])
    dz = np.float32(canvas.z - coil.center[2])
    ux, uy, _ = coil.along
    along = dx * np.float32(ux) + dy * np.float32(uy)
    aside = dy * np.float32(ux) - dx * np.float32(uy)
    up = np.zeros_like(along) + dz
    part = canvas.hu[rows, columns]
    _cloth(canvas, (rows, columns), along, aside, up)
    wire = _wire(along, aside * np.float32(1.07), up * np.float32(0.96))
    part += canvas.cover(wire - np.float32(0.55)) * (np.float32(hu.CORROSION) - part)
    bronze = canvas.cover(wire)
    part += bronze * (np.float32(hu.BRONZE) - part)
    canvas.metal[rows, columns] = bronze


def _wire(along: Floats, aside: Floats, up: Floats) -> Floats:
    """Distance from the wire's surface; one end stands off."""
    coil = g.COIL
    out = np.sqrt(aside * aside + up * up)
    turn = turn_of(up, aside)
    turns = along * np.float32(1 / coil.pitch) - turn
    beside = (turns - np.rint(turns)) * np.float32(coil.pitch)
    helix = np.sqrt((out - np.float32(coil.radius)) ** 2 + beside * beside)
    wound = np.abs(np.rint(turns) + turn) * np.float32(coil.pitch)
    helix = np.where(wound > np.float32(coil.length / 2), np.float32(9), helix)
    end = coil.length / 2
    # the loose end runs on, straight out of the last turn
    run = np.clip(along - np.float32(end - 3), 0, np.float32(8.5))
    tail = np.sqrt(
        (along - np.float32(end - 3) - run) ** 2
        + (aside + np.float32(coil.radius - 0.4) - run * np.float32(0.45)) ** 2
        + (up - np.float32(1.0)) ** 2
    )
    return np.minimum(helix, tail) - np.float32(coil.wire_radius)


def _cloth(
    canvas: Canvas, window: tuple[slice, slice], along: Floats, aside: Floats, up: Floats
) -> None:
    length, radius = g.CLOTH_REACH
    cloud = canvas.texture(canvas.textures.cloud, 17)[window]
    sponge = canvas.texture(canvas.textures.sponge)[window]
    out = np.sqrt(aside * aside + up * up)
    c, s = aside / np.maximum(out, np.float32(0.1)), up / np.maximum(out, np.float32(0.1))
    folds = c * (c * c - np.float32(3) * s * s) * np.float32(0.9) + np.float32(1.5) * cloud
    ends = np.maximum(np.abs(along) - np.float32(length - 7), 0)
    side = np.sqrt(ends * ends * np.float32(2.1) + out * out) + folds - np.float32(radius)
    depth = -side
    inner = canvas.cover(np.float32(g.CLOTH_THICKNESS) - depth)
    turn = turn_of(up, aside)
    warp = zigzag(along * np.float32(1 / (2 * THREAD_SPACING)))
    weft = zigzag(turn * np.float32(45))  # threads on 15 mm radius
    ply = depth * np.float32(1 / PLY) + np.float32(0.2) * warp * weft
    ply = ply * (
        np.float32(1) + np.float32(0.12) * canvas.texture(canvas.textures.cloud, 61)[window]
    )
    between = np.abs((ply - np.floor(ply)) * np.float32(2) - np.float32(1))
    threads = np.clip(np.float32(1.45) - between * np.float32(1.7), 0, 1)
    threads *= np.float32(0.5) + np.float32(0.5) * np.maximum(np.abs(warp), np.abs(weft))
    threads *= np.clip(np.float32(1) - np.float32(0.22) * sponge, np.float32(0.45), 1)
    value = np.float32(hu.CLOTH_GAP) + threads * np.float32(hu.THREAD - hu.CLOTH_GAP)
    inside = np.float32(hu.COIL_INSIDE) + np.float32(120) * sponge
    value += inner * (inside - value)
    part = canvas.hu[window]
    part += canvas.cover(side) * (value - part)
