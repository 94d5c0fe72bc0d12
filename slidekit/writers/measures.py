"""Measured values as data: JSON for records, and a table, CSV or JSON for the console.

Numbers are given to more digits than they are known to: rounding is for those who speak.
"""

import csv
import io
import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from slidekit.scans.measures.on_planes import (
    AngleMeasure,
    AreaMeasure,
    Caution,
    LineMeasure,
    Measure,
)
from slidekit.scans.measures.volumes import VolumeMeasure

Form: TypeAlias = Literal["table", "csv", "json"]
Numbers: TypeAlias = dict[str, Any]

FIELDS = (
    "unit", "n", "mean", "sd", "median", "p5", "p95", "min", "max", "area_mm2", "perimeter_mm",
    "feret_max_mm", "feret_min_mm", "edge_share", "clipped", "absent", "slab_mm", "slab",
    "length_mm", "length_error_mm", "angle_deg", "angle_error_deg", "volume_mm3",
    "volume_error_mm3", "warnings",
)  # fmt: skip
"""Everything that may be measured, in the order of the columns; `sd` has n - 1."""


@dataclass(frozen=True)
class Measured:
    """One region or volume of a storyboard and what was measured of it."""

    name: str
    called: str
    on: str  # the view of a region, the scan of a volume
    shape: str
    measure: Measure | VolumeMeasure | None


def measure_record(measure: Measure | VolumeMeasure | None) -> Numbers:
    """The numbers of a measure under their names and units, without those it does not have."""
    match measure:
        case AreaMeasure():
            numbers = _area(measure)
        case LineMeasure():
            numbers = {"length_mm": measure.length_mm, "length_error_mm": measure.error_mm}
        case AngleMeasure():
            numbers = {"angle_deg": measure.angle_deg, "angle_error_deg": measure.error_deg}
        case VolumeMeasure():
            numbers = _volume(measure)
        case None:
            numbers = {}
    return {key: _rounded(value) for key, value in numbers.items() if value is not None}


def _rounded(value: object) -> object:
    return round(value, 4) if isinstance(value, float) else value


def _area(measure: AreaMeasure) -> Numbers:
    values = measure.statistics
    found: Numbers = {"n": 0}
    if values is not None:
        found = {
            "n": values.n,
            "mean": values.mean,
            "sd": values.sd,
            "median": values.median,
            "p5": values.p5,
            "p95": values.p95,
            "min": values.least,
            "max": values.greatest,
        }
    sizes: Numbers = {
        "area_mm2": measure.area_mm2,
        "perimeter_mm": measure.perimeter_mm,
        "feret_max_mm": measure.feret_mm[0],
        "feret_min_mm": measure.feret_mm[1],
    }
    return {
        **found,
        "unit": measure.unit,
        **({} if measure.laid_flat else sizes),
        "edge_share": measure.edge_share,
        "clipped": measure.clipped,
        "absent": measure.absent,
        "slab_mm": measure.slab_mm,
        "slab": measure.slab if measure.slab_mm else None,
        "warnings": _warnings(measure.cautions),
    }


def _volume(measure: VolumeMeasure) -> Numbers:
    return {
        "volume_mm3": measure.volume_mm3,
        "volume_error_mm3": measure.error_mm3,
        "n": measure.n,
        "mean": measure.mean,
        "unit": measure.unit,
        "absent": measure.absent,
        "warnings": _warnings(measure.cautions),
    }


def _warnings(cautions: Iterable[Caution]) -> list[dict[str, str]]:
    return [{"kind": caution.kind, "text": caution.text} for caution in cautions]


def measures_text(measured: Iterable[Measured], form: Form) -> str:
    """All measures as text that ends with a line end."""
    rows = [_row(one) for one in measured]
    if form == "json":
        return json.dumps(rows, indent=1, ensure_ascii=False) + "\n"
    heads = ("name", "on", "shape", *FIELDS, "called")
    used = [head for head in heads if any(head in row for row in rows)] or list(heads)
    lines = [used, *([_cell(row.get(head)) for head in used] for row in rows)]
    return _csv(lines) if form == "csv" else _table(lines)


def _row(one: Measured) -> Numbers:
    numbers = measure_record(one.measure)
    return {"name": one.name, "called": one.called, "on": one.on, "shape": one.shape, **numbers}


def _cell(value: object) -> str:
    if isinstance(value, list):
        return "; ".join(one["text"] for one in value)
    return "" if value is None else f"{value:.6g}" if isinstance(value, float) else str(value)


def _csv(lines: Iterable[list[str]]) -> str:
    """RFC 4180, but for plain line ends."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(lines)
    return text.getvalue()


def _table(lines: list[list[str]]) -> str:
    """Columns as wide as their widest cell; those with numbers to the right."""
    columns = list(zip(*lines, strict=True))
    widths = [max(map(len, column)) for column in columns]
    numeric = [all(_is_number(cell) for cell in column[1:]) for column in columns]
    rows = (
        "  ".join(
            cell.rjust(width) if right else cell.ljust(width)
            for cell, width, right in zip(line, widths, numeric, strict=True)
        ).rstrip()
        for line in lines
    )
    return "\n".join(rows) + "\n"


def _is_number(cell: str) -> bool:
    return not cell or cell.lstrip("-")[:1].isdigit()
