"""The record of a build: for every picture where it comes from and how it was made.

Holds UIDs and fingerprints of the images used, never anything about a patient, an institution,
an operator, a file's name or a folder. Two builds of the same inputs give the same bytes.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

from slidekit.scans.enlarging import Enlarged, enlarged_grid
from slidekit.scans.kept.fingerprint import series_fingerprint, slice_sha256
from slidekit.scans.model import Flattening, GreyWindow, Grid, Series
from slidekit.scans.movies import Movie
from slidekit.scene.cautions import cautions
from slidekit.scene.clock.schedule import Schedule
from slidekit.scene.compose import Told
from slidekit.scene.sights.figures import Figure
from slidekit.scene.sights.model import Fineness, PlacedRegion, PlacedVolume, Sight, Sights
from slidekit.scene.sights.windowing import UsedWindow
from slidekit.writers.files import write_text
from slidekit.writers.measures import measure_record
from slidekit.writers.records.readings import readings_record

LIBRARIES = ("numpy", "pillow", "pydicom", "python-pptx", "matplotlib", "fonttools")
FORM = "slidekit record 1"

Json = dict[str, Any]


def write_record(record: Mapping[str, Any], path: Path) -> None:
    """JSON with sorted keys; what holds no further level stands on one line."""
    write_text(_text_of(record, "\n") + "\n", path)


_encode = json.JSONEncoder(sort_keys=True, ensure_ascii=False).encode
_NESTS = (dict, list, tuple)


def _text_of(value: Any, line: str) -> str:
    """`value` as JSON; `line` is a line break and the spaces that a line of it begins with."""
    members = value.values() if isinstance(value, dict) else value
    if not isinstance(value, _NESTS) or not any(isinstance(one, _NESTS) for one in members):
        return _encode(value)
    inner = f"{line} "
    if isinstance(value, dict):
        named = (f"{_encode(key)}: {_text_of(value[key], inner)}" for key in sorted(value))
        return f"{{{inner}{f',{inner}'.join(named)}{line}}}"
    return f"[{inner}{f',{inner}'.join(_text_of(one, inner) for one in value)}{line}]"


def talk_record(
    inputs: Iterable[Path],
    sights: Sights,
    series: Mapping[str, Series],
    told: Iterable[Told],
    schedule: Schedule,
) -> Json:
    """Everything a talk's outputs rest on. `inputs`: storyboards and style, hashed not named."""
    return {
        **evidence_record(inputs, sights, series),
        "slides": [
            {
                "id": one.slide.id,
                "kind": one.slide.kind,
                "number": turn.number,
                "start_s": round(turn.start_s, 3),
                "words": turn.words,
                "letters": dict(one.speech.cast.letters),
                "clicks": dict(one.speech.cast.steps),
            }
            for one, turn in zip(told, schedule.turns, strict=True)
        ],
        "slot_s": schedule.slot_s,
        "seconds": round(schedule.seconds, 3),
    }


def evidence_record(inputs: Iterable[Path], sights: Sights, series: Mapping[str, Series]) -> Json:
    """The part of the record that talks and panels share."""
    return {
        "form": FORM,
        "inputs_sha256": [hashlib.sha256(path.read_bytes()).hexdigest() for path in inputs],
        "libraries": {"slidekit": version("slidekit"), **{n: version(n) for n in LIBRARIES}},
        "series": {name: _series(one) for name, one in series.items()},
        "pictures": {
            name: {
                **_picture(sight, _image(sights, name), series[sight.view.scan]),
                **_fineness(sights.fineness.get(name)),
            }
            for name, sight in sights.views.items()
        },
        "movies": {name: _movie(movie) for name, movie in sights.movies.items()},
        "regions": {name: _region(region) for name, region in sights.regions.items()},
        "volumes": {name: _volume(volume) for name, volume in sights.volumes.items()},
        **readings_record(sights),
        "cautions": list(cautions()),
    }


def _movie(movie: Movie) -> Json:
    """`places`: millimetres along the way or numbers of slices, or degrees of a turn."""
    return {
        "frames": movie.frames,
        "frame_ms": movie.frame_ms,
        "rows": movie.rows,
        "columns": movie.columns,
        "places": [round(place, 4) for place in movie.places],
        "sop_uids": list(movie.sop_uids),
        "gif_sha256": hashlib.sha256(movie.gif).hexdigest(),
    }


def _series(series: Series) -> Json:
    return {
        "source": series.origin,
        "format": series.slices[0].format,
        "fingerprint": series_fingerprint(series),
        "series_uid": series.uid,
        "frame_of_reference_uid": series.frame_of_reference_uid,
        "modality": series.modality,
        "kind": series.kind,
        "images": len(series.slices),
        "rows": series.rows,
        "columns": series.columns,
        "row_spacing_mm": series.row_spacing_mm,
        "column_spacing_mm": series.column_spacing_mm,
        "thickness_mm": series.thickness_mm,
        "tube_voltage_kv": series.kvp,
        "remarks": list(series.remarks),
    }


def _image(sights: Sights, name: str) -> Enlarged:
    picture = sights.views[name].picture
    return sights.enlarged.get(name) or Enlarged(picture.pixels, 1, picture.digest)


def _picture(sight: Sight, image: Enlarged, series: Series) -> Json:
    picture = sight.picture
    used = [series.slices[k] for k in picture.source_slices]
    grid = enlarged_grid(picture.grid, image.factor)
    return {
        "scan": sight.view.scan,
        "plane": picture.plane,
        **_place(sight, grid),
        **({"overlays": "drawn"} if sight.view.overlays else {}),
        "windows": [_window(used) for used in sight.windows],
        "unit": picture.unit,
        "rows": grid.rows,
        "columns": grid.columns,
        "pixels_sha256": image.sha256,
        "sources": [
            {"sop_uid": one.sop_uid, "frame": one.frame, "sha256": slice_sha256(one)}
            for one in used
        ],
        "credit": sight.credit,
        "rights": sight.rights,
    }


def _fineness(fineness: Fineness | None) -> Json:
    """How large the picture is shown at most, and how many samples of the scan it has there."""
    if fineness is None:
        return {}
    return {
        "shown_width_mm": round(fineness.width_mm, 2),
        "pixels_per_sample": fineness.factor,
        "samples_per_inch": round(fineness.samples_per_inch, 1),
    }


def _place(sight: Sight, grid: Grid) -> Json:
    """Where the picture lies in the patient; of a plain picture, its scale if it has one."""
    picture = sight.picture
    if picture.letters is None:
        scale = round(grid.column_mm, 6) if grid.space == "scaled" else None
        return {"number": picture.slice_number, "pixel_mm": scale}
    record: Json = {
        "slice": picture.slice_number,
        "slab_mm": picture.slab_mm,
        "slab": picture.slab,
        "edges": list(picture.letters),
        "pixel_mm": round(grid.column_mm, 6),
    }
    if picture.slab_step_mm:
        record["slab_step_mm"] = round(picture.slab_step_mm, 4)
    if picture.middle_lps is not None:
        record["middle_lps"] = [round(value, 4) for value in picture.middle_lps]
    if picture.flattening is not None:
        points = [list(point) for point in sight.view.path_mm or ()]
        return {**record, "path": {"points_lps": points, **_path(picture.flattening)}}
    return {
        **record,
        "at_mm": round(picture.at_mm, 4),
        "origin_lps": [round(value, 4) for value in grid.origin_lps],
        "right_lps": [round(value, 6) for value in grid.right_lps],
        "down_lps": [round(value, 6) for value in grid.down_lps],
    }


def _path(path: Flattening) -> Json:
    """The surface that a curved picture shows, besides the places its path runs through."""
    return {
        "length_mm": round(path.length_mm, 3),
        "course": "smooth" if path.smooth else "straight pieces",
        "runs": "down" if path.runs_down else "to the right",
        "across_lps": [round(value, 6) for value in path.across_lps],
        "lean_deg": round(path.lean_deg, 2),
        "meets_itself": path.meets_itself,
    }


def _window(used: UsedWindow) -> Json:
    record: Json = {"name": used.name, "origin": used.origin, "note": used.note}
    scale = used.scale
    if isinstance(scale, GreyWindow):
        return {**record, "center": scale.center, "width": scale.width, "curve": scale.curve}
    entries = np.array(scale.entries, "<u2").tobytes()
    return {
        **record,
        "first_value": scale.first_value,
        "entries": len(scale.entries),
        "bits": scale.bits,
        "entries_sha256": hashlib.sha256(entries).hexdigest(),
    }


def _points(figure: Figure) -> Json:
    """Places in the patient, or on a plain picture with (x, y) from its first pixel."""
    key = {"patient": "points_lps", "scaled": "points_mm", "pixels": "points_px"}[figure.space]
    count = 3 if figure.space == "patient" else 2
    return {key: [[round(v, 3) for v in point[:count]] for point in figure.points_lps]}


def _region(region: PlacedRegion) -> Json:
    record: Json = {
        "called": region.called,
        "certainty": region.certainty,
        "mark": region.spoken,
        "color": region.mark.color,
        "dash": region.mark.dash,
        "kind": region.figure.kind,
        **_points(region.figure),
    }
    measured = measure_record(region.measure)
    if region.figure.kind == "line" and "length_mm" in measured:
        record["length_mm"] = round(measured["length_mm"], 3)
    if measured:
        record["measured"] = measured
    if region.profile is not None:
        record["profile"] = {
            "step_mm": round(region.profile.step_mm, 6),
            "unit": region.profile.unit,
            "values": [
                None if value is None else round(value, 3) for value in region.profile.values
            ],
        }
    return record


def _volume(volume: PlacedVolume) -> Json:
    return {"called": volume.called, "measured": measure_record(volume.measure)}
