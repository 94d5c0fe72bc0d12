"""The urn, its lid, and what was put on them: plug, tar and wax."""

import numpy as np

from . import geometry as g
from . import materials as hu
from .canvas import Canvas, fade, turn_of, zigzag
from .draws import Floats


def paint_ceramics(canvas: Canvas) -> None:
    """Paint urn and lid over all that is in the slice already."""
    if not g.FOOT_Z - 3 < canvas.z < g.LID_TOP_Z + 3:
        return
    # thickness varies as the hands that built it did
    urn = canvas.distance(g.URN) + np.float32(0.4) * canvas.texture(canvas.textures.cloud, 44)
    chip = _ball(canvas, g.CHIP) + np.float32(1.1) * canvas.cloud
    _seal(canvas, urn, chip)
    _clay(canvas, np.maximum(urn, -chip))
    _hole_and_plug(canvas, urn)
    _cracks(canvas, urn)
    _lid(canvas)


def _ball(canvas: Canvas, ball: g.Ball) -> Floats:
    dx, dy = canvas.x - np.float32(ball.center[0]), canvas.y - np.float32(ball.center[1])
    dz = canvas.z - ball.center[2]
    return np.sqrt(dx * dx + dy * dy + np.float32(dz * dz)) - np.float32(ball.radius)


def _fabric(
    canvas: Canvas, index: np.ndarray, height: Floats, along: Floats, depth: Floats
) -> Floats:
    """CT numbers of tempered clay at chosen pixels, in the clay's own directions (mm)."""
    t = canvas.textures
    value = (
        np.float32(hu.WALL)
        + np.float32(30) * canvas.cloud.ravel()[index]
        + np.float32(36) * canvas.grain.ravel()[index]
    )
    temper = t.temper.at(height, along, depth)
    value += temper * (np.float32(hu.TEMPER) - value)
    pores = t.pores.at(height, along, depth)
    return value + pores * (np.float32(-330) - value)


def _clay(canvas: Canvas, urn: Floats) -> None:
    body = np.minimum(urn, np.minimum(_handle(canvas), _ball(canvas, g.SCAR)))
    index = np.flatnonzero(body.ravel() < canvas.frame.edge_mm)
    if not index.size:
        return
    ax, ay = g.axis_at(canvas.z)
    dx = np.broadcast_to(canvas.x - np.float32(ax), body.shape).ravel()[index]
    dy = np.broadcast_to(canvas.y - np.float32(ay), body.shape).ravel()[index]
    around = turn_of(dy, dx) * np.float32(520)
    outwards = canvas.radius.ravel()[index]
    depth = body.ravel()[index]
    # in the wall the clay runs round the axis; in the middle of the foot it has no direction.
    # The slant keeps a repeat of the texture from coming to lie at the same height and depth.
    foot = outwards < np.float32(42)
    along = np.where(foot, dx, around)
    across = np.where(foot, dy, outwards + around * np.float32(0.13))
    value = _fabric(canvas, index, np.float32(canvas.z) + around * np.float32(0.17), along, across)
    value -= np.float32(60) * fade(
        -4.2, -2.5, -np.abs(depth + np.float32(4.2))
    )  # the unoxidised core
    value += np.float32(110) * fade(-1.3, -0.3, depth)  # smoothed and burnished faces are denser
    flat = canvas.hu.ravel()
    flat[index] += canvas.cover(depth) * (value - flat[index])


def _handle(canvas: Canvas) -> Floats:
    """A flattened bar with a rough broken end."""
    h = g.HANDLE
    dx, dy = canvas.x - np.float32(h.root[0]), canvas.y - np.float32(h.root[1])
    dz = np.float32(canvas.z - h.root[2])
    out = (
        dx * np.float32(h.outwards[0])
        + dy * np.float32(h.outwards[1])
        + dz * np.float32(h.outwards[2])
    )
    up = dz * np.float32(h.outwards[0]) - dx * np.float32(h.outwards[2])
    narrows = np.float32(1) + np.float32(0.018) * out  # it is broadest at the wall
    across = (
        np.sqrt(
            (dy * np.float32(1 / h.half_width)) ** 2 + (up * np.float32(1 / h.half_height)) ** 2
        )
        * narrows
    )
    broken = (
        out
        - np.float32(h.length)
        - np.float32(1.6) * zigzag(dy * np.float32(0.09) + dz * np.float32(0.05))
    )
    return np.maximum(
        np.maximum((across - np.float32(1)) * np.float32(h.half_height), broken),
        np.float32(-6) - out,
    )


def _seal(canvas: Canvas, urn: Floats, chip: Floats) -> None:
    """Tar all round, pressed into the break of the rim; wax along one stretch."""
    if not 74 < canvas.z < 100:
        return
    outside = canvas.distance(g.SEAL) + np.float32(0.8) * canvas.cloud
    bead = canvas.distance(g.SEAL_INSIDE) + np.float32(1.5) * canvas.cloud
    seal = np.minimum(np.minimum(outside, bead), np.maximum(urn - np.float32(1), chip))
    ax, ay = g.axis_at(canvas.z)
    dx, dy = canvas.x - np.float32(ax), canvas.y - np.float32(ay)
    facing = dx * np.float32(g.WAX_TOWARDS[0]) + dy * np.float32(g.WAX_TOWARDS[1])
    ragged = (
        canvas.radius * np.float32(g.WAX_HALF_ARC_COS) - facing + np.float32(1.4) * canvas.cloud
    )
    wax = canvas.cover(ragged)
    value = np.float32(hu.TAR) + np.float32(7) * canvas.cloud + np.float32(5) * canvas.grain
    value += wax * (np.float32(hu.WAX) + np.float32(3) * canvas.cloud - value)
    bubbles = fade(1.75, 2.3, canvas.texture(canvas.textures.grain, 71)) * (np.float32(1) - wax)
    value -= bubbles * np.float32(560)
    value += (
        fade(1.7, 2.2, -canvas.texture(canvas.textures.grain, 83))
        * (np.float32(1) - wax)
        * np.float32(260)
    )  # grit
    parting = canvas.cover(np.abs(ragged) - np.float32(0.35)) * fade(-0.8, 0.6, canvas.cloud)
    value += parting * (np.float32(-380) - value)
    canvas.paint(canvas.cover(seal), value)


def _hole_and_plug(canvas: Canvas, urn: Floats) -> None:
    h = g.HOLE
    window = canvas.window(h.mouth, 16)
    if window is None:
        return
    rows, columns = window
    dx = canvas.x[:, columns] - np.float32(h.mouth[0])
    dy = canvas.y[rows] - np.float32(h.mouth[1])
    dz = np.float32(canvas.z - h.mouth[2])
    inwards = dx * np.float32(h.inwards[0]) + dy * np.float32(h.inwards[1])
    aside = dx * np.float32(h.inwards[1]) - dy * np.float32(h.inwards[0])
    across = np.sqrt(aside * aside + dz * dz)
    hole = np.maximum(across - np.float32(h.radius), urn[rows, columns])
    part = canvas.hu[rows, columns]
    part += canvas.cover(hole) * (np.float32(-640) - part)
    # pressed in from outside: a cap stands proud, and one side has shrunk away
    off = np.sqrt((aside + np.float32(0.25)) ** 2 + dz * dz)
    stem = np.maximum(
        off - np.float32(h.plug_radius),
        np.maximum(np.float32(h.plug_from) - inwards, inwards - np.float32(h.plug_to)),
    )
    cap = np.maximum(
        off - np.float32(h.plug_radius + 2.0),
        np.maximum(np.float32(h.plug_from) - inwards, urn[rows, columns] * np.float32(-1)),
    )
    cap = np.maximum(cap, inwards - np.float32(6))
    clay = np.float32(hu.PLUG) + np.float32(14) * canvas.grain[rows, columns]
    part += canvas.cover(np.minimum(stem, cap)) * (clay - part)


def _cracks(canvas: Canvas, urn: Floats) -> None:
    low, high = g.CRACK_Z
    z = np.full((1, 1), canvas.z, np.float32)
    if low - 2 < canvas.z < high + 2:
        at = (
            np.float32(g.CRACK_X)
            + np.float32(1.5) * zigzag(z * np.float32(1 / 19))
            + np.float32(0.6) * zigzag(z * np.float32(1 / 5.3))
        )
        opening = np.float32(0.85) * fade(low, low + 12, z) * fade(-high, 12 - high, -z)
        upright = np.abs(canvas.x - at + (canvas.y - np.float32(85)) * np.float32(0.12)) - opening
        back = canvas.cover(-canvas.y)
        canvas.paint(canvas.cover(upright) * canvas.cover(urn) * back * (opening > 0), hu.CRACK)
    level = (
        np.float32(15)
        + np.float32(0.05) * canvas.x
        + np.float32(1.2) * zigzag(canvas.x * np.float32(1 / 21))
    )
    hairline = np.abs(z - level) - np.float32(0.3)
    where = canvas.cover(-canvas.y) * canvas.cover(
        np.abs(canvas.x + np.float32(25)) - np.float32(30)
    )
    canvas.paint(canvas.cover(hairline) * canvas.cover(urn) * where * np.float32(0.8), hu.CRACK)


def _lid(canvas: Canvas) -> None:
    if canvas.z < 91:
        return
    lid = canvas.distance(g.LID)
    index = np.flatnonzero(lid.ravel() < canvas.frame.edge_mm)
    if not index.size:
        return
    x = np.broadcast_to(canvas.x, lid.shape).ravel()[index]
    y = np.broadcast_to(canvas.y, lid.shape).ravel()[index]
    depth = lid.ravel()[index]
    value = _fabric(canvas, index, x, y, np.full_like(x, canvas.z)) - np.float32(40)
    value += np.float32(90) * fade(-1.3, -0.3, depth)
    flat = canvas.hu.ravel()
    flat[index] += canvas.cover(depth) * (value - flat[index])
