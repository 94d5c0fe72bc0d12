"""What each finding rests on, and how much of it each piece of evidence carries."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from slidekit.evidence import certainty as carried
from slidekit.evidence.certainty import Link, Strength
from slidekit.scans.measures.on_planes import AreaMeasure
from slidekit.scene.sights.model import Sights
from slidekit.storyboard.account import Stages
from slidekit.storyboard.chronology import CASE_NAME, Chronology, Event, Period
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.printed import PLACEHOLDER
from slidekit.storyboard.quoted import what_is_wrong
from slidekit.storyboard.regions import AREA_SHAPES
from slidekit.storyboard.slides import FindingsSlide, OwnSlide
from slidekit.storyboard.tallies import Tallies
from slidekit.wording import in_english


def told_findings(slides: Iterable[OwnSlide], board: Storyboard) -> dict[str, Finding]:
    """The findings that slides show, each once."""
    shown = [slide.findings for slide in slides if isinstance(slide, FindingsSlide)]
    return {name: board.findings[name] for names in shown for name in names}


@dataclass(frozen=True)
class Evidence:
    """Everything that findings can rest on, placed, measured and counted."""

    board: Storyboard
    sights: Sights
    tallies: Tallies = field(default_factory=Tallies)

    def links_of(self, finding: Finding) -> tuple[Link, ...]:
        """One for each piece of evidence, for each number that the statement prints, and for the
        alternatives; what they say is for the author, in English."""
        with in_english():
            return tuple(self._all_links(finding))

    def _all_links(self, finding: Finding) -> Iterator[Link]:
        printed = (found[0].strip("{}") for found in PLACEHOLDER.finditer(finding.statement))
        names = dict.fromkeys([*finding.evidence, *printed])
        yield from (link for name in names for link in self._links(name))
        if finding.alternatives:
            reasons = [one.why_less for one in finding.alternatives]
            yield Link("an alternative beside it", carried.of_alternatives(reasons))

    def _links(self, written: str) -> Iterator[Link]:
        name, _, part = written.partition(".")
        board = self.board
        if region := board.regions.get(name):
            yield Link(f"the region `{name}`", carried.of_region(region.certainty))
            if part and region.shape in AREA_SHAPES:
                yield Link(f"the value `{written}`", self._measure(name))
        elif name in board.volumes:
            cautions = self.sights.volumes[name].measure.cautions
            strength = carried.of_measure((one.kind, one.text) for one in cautions)
            yield Link(f"the volume `{name}`", strength)
        elif stage := Stages(board.account).known.get(name):
            shown = [link.strength for one in stage.by for link in self._links(one)]
            yield Link(f"the stage `{name}`", carried.of_stage(stage.here, shown))
        elif other := board.findings.get(name):
            yield Link(f"the finding `{name}`", carried.of_finding(other.certainty))
        elif name in board.sources:
            yield Link(f"the source `{name}`", carried.of_source())
        elif name in self.tallies:
            yield self._number(name)
        elif name in board.materials:
            yield Link(f"the materials question `{name}`", carried.of_materials())
        elif contrast := self.sights.contrasts.get(name):
            against = ((one.kind, one.text) for one in contrast.cautions)
            strength = carried.of_contrast(contrast.contrast.interval, against)
            yield Link(f"the contrast `{name}`", strength)
        else:
            yield from self._dates(name)

    def _measure(self, name: str) -> Strength:
        measure = self.sights.regions[name].measure
        cautions = measure.cautions if isinstance(measure, AreaMeasure) else ()
        return carried.of_measure((one.kind, one.text) for one in cautions)

    def _number(self, name: str) -> Link:
        tallies = self.tallies
        if tally := tallies.counts.get(name):
            return Link(f"the count `{name}`", carried.of_count(tally.proportion))
        if compared := tallies.comparisons.get(name):
            return Link(f"the comparison `{name}`", carried.of_comparison(compared.p))
        if agreed := tallies.agreements.get(name):
            return Link(f"the agreement `{name}`", carried.of_agreement(agreed.kappa.value))
        possible = what_is_wrong(tallies.quoted[name].written) is None
        return Link(f"the quoted number `{name}`", carried.of_quoted(possible=possible))

    def _dates(self, name: str) -> Iterator[Link]:
        dated = (self.board.chronology or Chronology()).find(name)
        if isinstance(dated, Period):
            yield Link(f"the period `{name}`", carried.of_dates(dated.start, dated.end))
        elif dated is not None:
            what = "the case's date" if name == CASE_NAME else f"the event `{name}`"
            yield Link(what, _of_event(dated))


def _of_event(event: Event) -> Strength:
    if event.date.percent:
        return carried.of_calibrated(float(event.date.percent))
    if event.limits is not None:
        return carried.of_span(*event.limits)
    return carried.of_dates(event.date)
