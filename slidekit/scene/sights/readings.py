"""What is made of measured values: materials questions answered, and contrasts, in numbers and in
words. One place says them, so that speech, slide and record cannot differ.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf

from slidekit.evidence.counts.contrast import Contrast, Group
from slidekit.evidence.materials import (
    Band,
    Energy,
    Range,
    fits,
    fitting_shares,
    measured_range,
)
from slidekit.scans.measures.on_planes import AreaMeasure, Caution, Statistics
from slidekit.scene.measured import Quantity, spoken_caution, spoken_cautions
from slidekit.wording import figures, phrase

MANY_CLIPPED = 0.05
"""Share of samples at an end of the scale from which the measured range is open there."""

VEILING = ("thin", "extremes")
"""Cautions with which what is there may lie outside of all that was measured: no sample shows it
alone, or none shows it unbiased. Nothing is excluded then."""

_MOST_NAMED = 6  # in a sentence: more nobody remembers


@dataclass(frozen=True)
class Answer:
    """A materials question, with all that its answer rests on."""

    name: str
    called: str
    region: str  # its name
    region_called: str
    measure: AreaMeasure
    statistics: Statistics
    group: Group
    energy: Energy
    tube_kv: float | None  # None: the author states the energy
    bands: tuple[Band, ...]  # by rising CT number
    mix: tuple[Band, Band] | None = None

    @property
    def measured(self) -> Range:
        """The middle 90 % of the samples, open where they reach an end of the scale."""
        many = MANY_CLIPPED * self.statistics.n
        at_top = self.measure.clipped_at_top
        return measured_range(
            self.statistics.p5,
            self.statistics.p95,
            top=at_top > many,
            bottom=self.measure.clipped - at_top > many,
        )

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What speaks against the values of the region."""
        return self.measure.cautions

    @property
    def veil(self) -> Caution | None:
        """Why nothing can be excluded, if so."""
        return next((one for one in self.cautions if one.kind in VEILING), None)

    def may_be(self, band: Band) -> bool:
        """Whether a candidate is not excluded."""
        return self.veil is not None or fits(band.whole, self.measured)

    @property
    def remaining(self) -> tuple[str, ...]:
        """What the candidates that are not excluded are called."""
        return tuple(band.candidate.called for band in self.bands if self.may_be(band))

    @property
    def excluded(self) -> tuple[str, ...]:
        """What the others are called."""
        return tuple(band.candidate.called for band in self.bands if not self.may_be(band))

    @property
    def share(self) -> tuple[int, int] | None:
        """Percent by volume of the first part of the mixture that would fit; None: none would."""
        if self.mix is None:
            return None
        return fitting_shares(*self.mix, self.measured) if self.veil is None else (0, 100)

    @property
    def sentence(self) -> str:
        """What is excluded and what remains, as one sentence without capital and full stop."""
        count = len(self.bands)
        if self.veil is not None:
            return phrase(
                "the CT numbers exclude nothing here: {why}", why=spoken_caution(self.veil)
            )
        if not self.excluded:
            return self._nothing_excluded(count)
        excluded = named(self.excluded, _MOST_NAMED)
        if len(self.remaining) > _MOST_NAMED:
            out, left = len(self.excluded), len(self.remaining)
            return phrase(
                "the CT numbers exclude {out} of {count} candidates; {left} remain possible",
                out=out,
                count=count,
                left=left,
            )
        if not self.remaining:
            return phrase(
                "the CT numbers exclude {excluded}: of the candidates, nothing remains",
                excluded=excluded,
            )
        left_over = {"excluded": excluded, "remaining": named(self.remaining)}
        if len(self.remaining) == 1:
            return phrase(
                "the CT numbers exclude {excluded}; {remaining} remains possible", **left_over
            )
        return phrase("the CT numbers exclude {excluded}; {remaining} remain possible", **left_over)

    def _nothing_excluded(self, count: int) -> str:
        if count == 1:
            what = self.remaining[0]
            return phrase("the CT numbers exclude nothing here: {what} may fit", what=what)
        if count == 2:
            return phrase("the CT numbers exclude nothing here: both candidates may fit")
        return phrase("the CT numbers exclude nothing here: all {n} candidates may fit", n=count)

    def say(self, part: str) -> str:
        """One part of it in words; FitError for a warning where there is none."""
        if part == "warning":
            return spoken_cautions(self.cautions, self.name)
        return {
            "": self.sentence,
            "called": self.called,
            "remain": named(self.remaining) if self.remaining else phrase("none of them"),
            "excluded": named(self.excluded, _MOST_NAMED)
            if self.excluded
            else phrase("none of them"),
            "share": share_in_words(self.share),
            "energy": figures(f"{self.energy.kev:g} keV"),
        }[part]

    @property
    def mixture(self) -> str:
        """What share would fit, as a sentence; "" where no mixture is asked about."""
        if self.mix is None:
            return ""
        first, second = (band.candidate.called for band in self.mix)
        return phrase(
            "{share} of {first} by volume in {second} would fit",
            share=share_in_words(self.share),
            first=first,
            second=second,
        )

    @property
    def energy_in_words(self) -> str:
        """Energy, its range, and where it comes from."""
        low, high = self.energy.range_kev
        origin = phrase("as stated")
        if self.tube_kv is not None:
            origin = phrase("from {kv} kV", kv=figures(f"{self.tube_kv:g}"))
        return phrase(
            "{kev} keV ({low} to {high}), {origin}",
            kev=figures(f"{self.energy.kev:g}"),
            low=f"{low:.0f}",
            high=f"{high:.0f}",
            origin=origin,
        )


@dataclass(frozen=True)
class PlacedContrast:
    """Two regions compared; the one with the greater mean comes first."""

    name: str
    called: str
    regions: tuple[str, str]
    regions_called: tuple[str, str]
    measures: tuple[AreaMeasure, AreaMeasure]
    contrast: Contrast

    @property
    def unit(self) -> str:
        return self.measures[0].unit

    def say(self, part: str) -> str:
        """One part of it in words; FitError for a warning where there is none."""
        if part == "warning":
            return spoken_cautions(self.cautions, self.name)
        contrast = self.contrast
        difference = f"{self._figure(contrast.difference)} {self.unit}".rstrip()
        low, high = map(self._figure, contrast.interval)
        ends = phrase("{low} to {high}", low=low, high=high)
        return {
            "": phrase(
                "{difference} (95 % interval {interval})", difference=difference, interval=ends
            ),
            "called": self.called,
            "difference": difference,
            "interval": f"{ends} {self.unit}".rstrip(),
            "effect": self._effect_in_words,
            "overlap": share_of_one(contrast.overlap),
        }[part]

    @property
    def worth(self) -> str:
        """How many independent samples the interval counts, as a sentence."""
        groups = (self.contrast.first, self.contrast.second)
        counts = [
            phrase(
                "{region} {n} of {samples}",
                region=called,
                n=figures(f"{round(group.independent):,}"),
                samples=figures(f"{round(sum(group.weights)):,}"),
            )
            for called, group in zip(self.regions_called, groups, strict=True)
        ]
        return phrase("Worth as independent samples: {counts}.", counts=", ".join(counts))

    @property
    def _effect_in_words(self) -> str:
        if self.contrast.effect is None:
            return phrase("no spread")
        effect = figures(f"{self.contrast.effect:.1f}")
        return phrase("{number} standard deviations", number=effect)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What speaks against the values of either region, each with its region's name."""
        return tuple(
            replace(caution, within=called)
            for called, measure in zip(self.regions_called, self.measures, strict=True)
            for caution in measure.cautions
        )

    def _figure(self, value: float) -> str:
        return Quantity(value, 0.0, 1.0 if self.unit == "HU" else 0.0).written


def named(names: Sequence[str], most: int | None = None) -> str:
    """Names in a sentence: "tar, resin and bitumen"; "tar, resin and 4 more" beyond `most`."""
    most = most or len(names)
    shown = list(names[:most] if len(names) <= most else names[: most - 1])
    if len(names) > len(shown):
        shown.append(phrase("{n} more", n=len(names) - len(shown)))
    if len(shown) == 1:
        return shown[0]
    return phrase("{first} and {last}", first=", ".join(shown[:-1]), last=shown[-1])


def share_in_words(share: tuple[int, int] | None) -> str:
    """Percentages from and to: "up to 45 %", "any share", "no share"."""
    match share:
        case None:
            return phrase("no share")
        case (0, 100):
            return phrase("any share")
        case (0, 0):
            return phrase("nothing")
        case (0, most):
            return phrase("up to {most}\N{NO-BREAK SPACE}%", most=most)
        case (least, 100):
            return phrase("{least}\N{NO-BREAK SPACE}% or more", least=least)
        case (least, most):
            return phrase("{low} to {high}\N{NO-BREAK SPACE}%", low=least, high=most)


def share_of_one(share: float) -> str:
    """A share in whole percent: "3 %", "less than 1 %"."""
    percent = round(100 * share)
    words = str(percent) if percent else phrase("less than {number}", number=1)
    return f"{words}\N{NO-BREAK SPACE}%"


def is_open(measured: Range) -> bool:
    """Whether the measured range reaches beyond an end of the scale."""
    return inf in (measured[1], -measured[0])
