"""Measured numbers in words: rounded by one rule, with the units that a speaker says.

The rule: a number is rounded to the place of the first digit of its uncertainty, and to at most
three digits that count. The uncertainty of a mean or median is its standard error, of an SD
SD / √(2 (n - 1)) (JCGM 100:2008, 4.2.3 and E.4.3), of a length one pixel, of an area half a pixel
all along its outline, of a volume half a voxel all over its surface. CT numbers are whole.
"""

from dataclasses import dataclass
from math import floor, log10, sqrt

from slidekit.errors import FitError
from slidekit.scans.measures.on_planes import (
    LEAST_FOR_SD,
    AngleMeasure,
    AreaMeasure,
    Caution,
    LineMeasure,
    Measure,
    Statistics,
)
from slidekit.scans.measures.volumes import VolumeMeasure
from slidekit.wording import figures, phrase

DIGITS = 3  # that count, at most: nobody hears more
MEDIAN_FACTOR = 1.2533  # standard error of the median over that of the mean, for normal values


@dataclass(frozen=True)
class Quantity:
    """A number, how far it may be off, and the smallest step in which it makes sense."""

    value: float
    error: float = 0.0
    finest: float = 0.0

    @property
    def written(self) -> str:
        """Rounded, with a true minus sign and commas between thousands."""
        steps = [self.finest]
        if self.error > 0:
            steps.append(10.0 ** floor(log10(self.error) + 1e-9))
        if self.value:
            steps.append(10.0 ** (floor(log10(abs(self.value)) + 1e-9) - DIGITS + 1))
        step = max(steps) or 1.0
        decimals = max(0, -floor(log10(step) + 1e-9))
        rounded = round(self.value / step) * step + 0.0
        text = f"{rounded:,.{decimals}f}"
        is_nought = not float(text.replace(",", ""))
        return figures(text.removeprefix("-") if is_nought else text.replace("-", "−"))


def quantity(measure: AreaMeasure, part: str, called: str) -> Quantity:
    """A number of a closed region.

    Raises
    ------
    FitError
        If too few samples lie in the region for it, or it has no true size; `called` names the
        region.
    """
    if measure.laid_flat and part in ("area", "perimeter", "feret"):
        raise FitError(
            f"`{called}` is outlined on a curved view, where only lengths along the path are true,"
            f" so its {part} is unknown",
            "Outline it on a flat view, or say its values alone",
        )
    error = measure.perimeter_mm * measure.pixel_mm / 2
    match part:
        case "area":
            return Quantity(measure.area_mm2, error)
        case "perimeter":
            return Quantity(measure.perimeter_mm, measure.pixel_mm)
        case "feret":
            return Quantity(measure.feret_mm[0], measure.pixel_mm)
    if measure.statistics is None:
        raise FitError(
            f"no sample of the scan lies in `{called}`, so its {part} is unknown",
            "Draw the region larger",
        )
    return _of_values(measure.statistics, part, called, 1.0 if measure.unit == "HU" else 0.0)


def _of_values(values: Statistics, part: str, called: str, finest: float) -> Quantity:
    match part:
        case "n":
            return Quantity(values.n, 0.0, 1.0)
        case "mean":
            return Quantity(values.mean, values.mean_error, finest)
        case "median":
            return Quantity(values.median, MEDIAN_FACTOR * values.mean_error, finest)
    if part == "sd":
        if values.sd is None:
            raise FitError(
                f"`{called}` holds {values.n} samples, too few for a standard deviation, "
                f"which takes {LEAST_FOR_SD}",
                "Draw the region larger, or leave its SD out",
            )
        return Quantity(values.sd, values.sd / sqrt(2 * (values.n - 1)), finest)
    single = {"min": values.least, "max": values.greatest, "p5": values.p5, "p95": values.p95}
    return Quantity(single[part], 0.0, finest)


def written(measure: AreaMeasure, part: str, called: str) -> str:
    """A number without its unit, as it stands in a table. Single samples and counts are exact."""
    number = quantity(measure, part, called)
    if part in ("n", "min", "max", "p5", "p95"):
        return exact(round(number.value) if number.finest else number.value)
    return number.written


def exact(value: float) -> str:
    """A number as it is, without trailing zeros."""
    text = f"{value:,.0f}" if float(value).is_integer() else f"{value:,.6g}"
    return figures(text.replace("-", "−"))


def spoken_measure(measure: Measure, part: str, called: str) -> str:
    """A number of a region with its unit, as a speaker says it.

    Raises
    ------
    FitError
        If the region does not have it: too few samples, or nothing to warn of.
    """
    if isinstance(measure, LineMeasure):
        return f"{Quantity(measure.length_mm, measure.error_mm).written} mm"
    if isinstance(measure, AngleMeasure):
        number = Quantity(measure.angle_deg, measure.error_deg, 0.1).written
        if number == "1":
            return phrase("1 degree")
        return phrase("{number} degrees", number=number)
    if part == "warning":
        return spoken_cautions(measure.cautions, called)
    number = written(measure, part, called)
    if part == "area":
        return _area_in_words(quantity(measure, part, called))
    unit = {"n": "", "perimeter": "mm", "feret": "mm"}.get(part, measure.unit)
    return f"{number} {unit}".rstrip()


def _area_in_words(area: Quantity) -> str:
    if area.value < 1000:
        return phrase("{number} square millimetres", number=area.written)
    scaled = Quantity(area.value / 100, area.error / 100)
    return phrase("{number} square centimetres", number=scaled.written)


def spoken_volume(measure: VolumeMeasure, part: str, called: str) -> str:
    """A number of a volume with its unit; FitError as for `spoken_measure`."""
    match part:
        case "n":
            return exact(measure.n)
        case "warning":
            return spoken_cautions(measure.cautions, called)
        case "mean":
            if measure.mean is None:
                raise FitError(
                    f"no voxel was counted in `{called}`, so its mean is unknown",
                    "Mend its `from_value` and `to_value`, or its place",
                )
            return f"{Quantity(measure.mean, 1.0).written} {measure.unit}".rstrip()
    if measure.volume_mm3 < 1000:
        small = Quantity(measure.volume_mm3, measure.error_mm3)
        return phrase("{number} cubic millimetres", number=small.written)
    scaled = Quantity(measure.volume_mm3 / 1000, measure.error_mm3 / 1000)
    return phrase("{number} cubic centimetres", number=scaled.written)


def spoken_caution(caution: Caution) -> str:
    """One clause that speaks against a number."""
    values = {name: figures(value) for name, value in caution.values}
    clause = phrase(caution.clause, **values)
    if caution.within:
        return phrase("{clause}, in {called}", clause=clause, called=caution.within)
    return clause


def spoken_cautions(cautions: tuple[Caution, ...], called: str) -> str:
    """What speaks against the numbers, as clauses joined by "and"."""
    if not cautions:
        raise FitError(
            f"{{{called}.warning}} is said, and nothing speaks against its numbers",
            "Remove it from the words",
        )
    *first, last = map(spoken_caution, cautions)
    return phrase("{first} and {last}", first=", ".join(first), last=last) if first else last
