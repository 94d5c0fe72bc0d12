"""Painting loose things, each in its own coordinates."""

from collections.abc import Iterable

import numpy as np

from . import materials as hu
from .canvas import Canvas, fade, zigzag
from .draws import Floats
from .things import Thing

Window = tuple[slice, slice]  # rows and columns
Local = tuple[Floats, Floats, Floats]
Painted = tuple[Floats, Floats]  # distance and CT number


def paint_things(canvas: Canvas, things: Iterable[Thing]) -> None:
    """Paint, one over the other, those of `things` that the slice cuts."""
    for thing in things:
        if abs(thing.center[2] - canvas.z) <= thing.reach:
            window = canvas.window(thing.center, thing.reach)
            if window is not None:
                _paint(canvas, thing, window)


def _paint(canvas: Canvas, thing: Thing, window: Window) -> None:
    rows, columns = window
    dx = canvas.x[:, columns] - np.float32(thing.center[0])
    dy = canvas.y[rows] - np.float32(thing.center[1])
    dz = canvas.z - thing.center[2]
    u, v, w = (
        dx * np.float32(axis[0]) + dy * np.float32(axis[1]) + np.float32(dz * axis[2])
        for axis in thing.turn
    )
    distance, value = _SHAPES[thing.kind](canvas, thing, window, (u, v, w))
    for normal, far in thing.cuts:
        side = dx * np.float32(normal[0]) + dy * np.float32(normal[1])
        distance = np.maximum(distance, side + np.float32(dz * normal[2] - far))
    part = canvas.hu[rows, columns]
    part += canvas.cover(distance) * (value - part)


def _ellipsoid(thing: Thing, at: Local) -> Floats:
    u, v, w = (a * np.float32(1 / s) for a, s in zip(at, thing.size, strict=True))
    length = np.sqrt(u * u + v * v + w * w)
    return (length - np.float32(1)) * np.float32(min(thing.size))


def _pebble(canvas: Canvas, thing: Thing, window: Window, at: Local) -> Painted:
    u, v, w = at
    size = thing.size[0]
    lumps: Floats = u * v + v * w * np.float32(0.7)
    distance = _ellipsoid(thing, at) + lumps * np.float32(0.10 / size)
    grain = canvas.grain[window]
    band = zigzag(w * np.float32(0.5 / size)) * np.float32(40)
    return distance, np.float32(thing.hu) + np.float32(32) * grain + band


def _charcoal(canvas: Canvas, thing: Thing, window: Window, at: Local) -> Painted:
    sides = [np.abs(a) - np.float32(s) for a, s in zip(at, thing.size, strict=True)]
    edge = np.maximum(np.maximum(sides[0], sides[1]), sides[2])
    slant = (sides[0] + sides[1] + sides[2]) * np.float32(0.58) + np.float32(0.30 * sum(thing.size))
    distance = np.maximum(edge, slant) + np.float32(0.3) * canvas.grain[window]
    rings = zigzag(at[2] * np.float32(0.42) + np.float32(0.02) * at[1] * at[1])
    return distance, np.float32(thing.hu) + np.float32(110) * rings + np.float32(50) * canvas.grain[
        window
    ]


def _spongy(canvas: Canvas, window: Window) -> Floats:
    net = canvas.texture(canvas.textures.sponge)[window]
    strut = np.clip(np.float32(1.25) - np.abs(net) * np.float32(1.9), 0, 1)
    return np.float32(hu.BONE_PORE) + strut * np.float32(hu.BONE_STRUT - hu.BONE_PORE)


def _shaft(canvas: Canvas, thing: Thing, window: Window, at: Local) -> Painted:
    """A length of shaft: a tube of compact bone, rougher inside, with the cracks of fire across."""
    u, v, w = at
    half, radius, thick = thing.size
    out = np.sqrt(u * u + v * v * np.float32(1.25))
    tube = np.abs(out - np.float32(radius - thick / 2)) - np.float32(thick / 2)
    distance = np.maximum(
        tube + np.float32(0.25) * canvas.cloud[window], np.abs(w) - np.float32(half)
    )
    across = w * np.float32(0.16) + u * u * np.float32(0.012 / max(radius / 8, 1))
    fire = np.clip(np.float32(1) - np.abs(across - np.rint(across)) * np.float32(14), 0, 1)
    fire *= fade(-0.2, 0.8, canvas.cloud[window]) * fade(
        0.25, 0.8, (out - np.float32(radius - thick)) * np.float32(1 / thick)
    )
    rough = np.clip((np.float32(radius - 0.55 * thick) - out) * np.float32(2.2 / thick), 0, 1)
    value = np.float32(thing.hu) + np.float32(25) * canvas.grain[window]
    value += rough * (_spongy(canvas, window) + np.float32(150) - value) * np.float32(0.8)
    return distance, value + fire * np.float32(-1100)


def _vault(canvas: Canvas, thing: Thing, window: Window, at: Local) -> Painted:
    """A plate of the skull: two tables of compact bone and spongy bone between them."""
    u, v, w = at
    half, curve, thick = thing.size
    out = np.sqrt(u * u + v * v + (w + np.float32(curve)) ** 2) - np.float32(curve)
    plate = np.abs(out) - np.float32(thick / 2)
    outline = np.maximum(np.abs(u), np.abs(v)) - np.float32(half)
    table = np.float32(min(1.35, 0.36 * thick))
    core = canvas.cover(plate + table)
    value = np.float32(thing.hu) + np.float32(25) * canvas.grain[window]
    value += core * (_spongy(canvas, window) - value)
    return np.maximum(plate + np.float32(0.2) * canvas.cloud[window], outline), value


def _joint(canvas: Canvas, thing: Thing, window: Window, at: Local) -> Painted:
    """Part of the head of a long bone: a thin shell full of spongy bone."""
    ball = _ellipsoid(thing, at) + np.float32(0.4) * canvas.cloud[window]
    core = canvas.cover(ball + np.float32(1.3))
    value = np.float32(thing.hu) + np.float32(25) * canvas.grain[window]
    return ball, value + core * (_spongy(canvas, window) - value)


def _tooth(canvas: Canvas, thing: Thing, _: Window, at: Local) -> Painted:
    """A root: a cone of dentine with its canal; the crown has burst in the fire."""
    u, v, w = at
    half, radius, canal = thing.size
    taper = np.float32(0.62) + w * np.float32(0.38 / half)
    out = np.sqrt(u * u + v * v * np.float32(1.5))
    distance = np.maximum(out - np.float32(radius) * taper, np.abs(w) - np.float32(half))
    hollow = canvas.cover(out - np.float32(canal) * taper)
    return distance, np.float32(thing.hu) + hollow * np.float32(300 - thing.hu)


def _root(canvas: Canvas, thing: Thing, _: Window, at: Local) -> Painted:
    """A stretch of channel, with a dead root in half of it."""
    u, v, w = at
    half, radius = thing.size[:2]
    past = np.maximum(np.abs(w) - np.float32(half), 0)
    out = np.sqrt(u * u + v * v + past * past)
    alive = canvas.cover(
        np.sqrt((u - np.float32(0.25 * radius)) ** 2 + v * v) - np.float32(0.55 * radius)
    )
    return out - np.float32(radius), np.float32(hu.ROOT_CHANNEL) + alive * np.float32(
        hu.ROOT - hu.ROOT_CHANNEL
    )


_SHAPES = {
    "pebble": _pebble,
    "charcoal": _charcoal,
    "shaft": _shaft,
    "vault": _vault,
    "joint": _joint,
    "tooth": _tooth,
    "root": _root,
}
