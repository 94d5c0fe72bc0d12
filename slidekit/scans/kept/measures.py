"""What was measured on planes of a series, from the cache where it was measured before.

Values are found again by what they depend on: the files of the series as `stat` tells them, the
plane, the outline or line, and the code that measures.
"""

import json
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from slidekit.cache import code_version, content_key, read_entry, write_entry
from slidekit.scans.kept.fingerprint import files_state
from slidekit.scans.kept.plain_values import from_plain, to_plain
from slidekit.scans.measures.on_planes import (
    AreaMeasure,
    Profile,
    measure_area,
    sample_profile,
)
from slidekit.scans.measures.scale_ends import scale_ends
from slidekit.scans.measures.volumes import Solid, VolumeMeasure, measure_volume
from slidekit.scans.model import Outline, PlaneImage, PlaneRequest, Series, Vector
from slidekit.scans.viewing import read_views

_KIND = "measures"


@dataclass(frozen=True)
class MeasureRequest:
    """What is measured on a plane: the values within an outline, or along a line."""

    plane: PlaneRequest
    outline: Outline | None = None
    ends_lps: tuple[Vector, Vector] | None = None


@dataclass(frozen=True)
class Values:
    """What was found for a request; neither on a picture in colour."""

    area: AreaMeasure | None = None
    profile: Profile | None = None


def measure_on_planes(
    series: Series, requests: Sequence[MeasureRequest], *, verify: bool = False
) -> tuple[tuple[Values, ...], dict[PlaneRequest, PlaneImage]]:
    """Find values that were measured before, and measure the others in one pass over the files.

    Returns
    -------
    values
        In the order of the requests.
    images
        The planes that had to be read, so that nobody reads them again.

    Raises
    ------
    ScanError
        As for `read_views`.
    """
    state = files_state(series)
    code = code_version("scans")
    keys = [
        content_key(code, state, (series.mm_per_px, series.unit), request) for request in requests
    ]
    found = [None if verify else _read_values(key) for key in keys]
    missing = [i for i, values in enumerate(found) if values is None]
    planes = list(dict.fromkeys(requests[i].plane for i in missing))
    images = (
        dict(zip(planes, read_views(series, planes, find_ends=True), strict=True)) if planes else {}
    )
    ends = scale_ends(series)
    for i in missing:
        values = _measure(images[requests[i].plane], requests[i], ends)
        write_entry(_KIND, keys[i], json.dumps(to_plain(values)).encode())
        found[i] = values
    return tuple(values or Values() for values in found), images


def kept_volume(
    series: Series,
    solid: Solid,
    values: tuple[float | None, float | None],
    seed_lps: Vector | None = None,
    *,
    verify: bool = False,
) -> VolumeMeasure:
    """As `measure_volume` with the lowest and highest of `values`; kept from then on."""
    code = code_version("scans")
    key = content_key(code, files_state(series), series.unit, solid, values, seed_lps)
    if not verify and (content := read_entry(_KIND, key)) is not None:
        with suppress(ValueError, TypeError, IndexError):
            kept: VolumeMeasure = from_plain(VolumeMeasure, json.loads(content))
            return kept
    measure = measure_volume(series, solid, *values, seed_lps)
    write_entry(_KIND, key, json.dumps(to_plain(measure)).encode())
    return measure


def _measure(
    image: PlaneImage, request: MeasureRequest, ends: tuple[float, float] | None
) -> Values:
    if image.values.ndim != 2:
        return Values()
    if request.outline is not None:
        return Values(area=measure_area(image, request.outline, ends))
    if request.ends_lps is not None:
        return Values(profile=sample_profile(image, request.ends_lps))
    return Values()


def _read_values(key: str) -> Values | None:
    content = read_entry(_KIND, key)
    if content is None:
        return None
    try:
        values: Values = from_plain(Values, json.loads(content))
    except (ValueError, TypeError, IndexError):
        return None
    return values
