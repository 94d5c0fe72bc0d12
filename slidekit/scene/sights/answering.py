"""Materials questions and contrasts answered from the regions that were measured for them."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple, TypeVar

from slidekit.errors import Fault, FitError, StoryboardError
from slidekit.evidence.counts.contrast import Contrast, Group
from slidekit.evidence.materials import (
    TUBE_KV,
    Candidate,
    Energy,
    bands_of,
    effective_energy,
    stated_energy,
)
from slidekit.scans.measures.on_planes import LEAST_FOR_SD, AreaMeasure, Statistics
from slidekit.scans.measures.outlines import outline_mask
from slidekit.scans.model import Series
from slidekit.scene.sights.figures import outline_of
from slidekit.scene.sights.model import PlacedRegion, Sight
from slidekit.scene.sights.readings import Answer, PlacedContrast
from slidekit.shipped import candidates_file
from slidekit.storyboard.candidates import read_candidates
from slidekit.storyboard.materials import Question
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.naming import listed, nearest
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.source import Source
from slidekit.wording import phrase

_Found = TypeVar("_Found")


def find_candidate_faults(source: Source) -> tuple[Fault, ...]:
    """Files of candidates that cannot be used, and names that no file has."""
    faults: list[Fault] = []
    for name, question in source.board.materials.items():
        path: FieldPath = ("materials", name)
        if question.file is not None and not _is_file(question.file):
            wrong = f"there is no file {question.file}"
            instead = "Write the path of a file of candidates, seen from this storyboard"
            faults.append(source.places.fault((*path, "file"), wrong, instead))
            continue
        try:
            known = candidates_for(question)
        except StoryboardError as error:
            faults += error.faults
            continue
        for where, names in (("candidates", question.candidates), ("mix", question.mix)):
            for i, one in enumerate(names or ()):
                if one not in known:
                    wrong, instead = _no_such_candidate(one, known)
                    faults.append(source.places.fault((*path, where, i), wrong, instead))
    return tuple(dict.fromkeys(faults))


def _is_file(path: str) -> bool:
    try:
        return Path(path).is_file()
    except OSError:  # a name that no system takes
        return False


def _no_such_candidate(name: str, known: Mapping[str, Candidate]) -> tuple[str, str]:
    meant = nearest(name, known)
    instead = f"Write `{meant}` if you mean that; t" if meant else "T"
    return (
        f"there is no candidate `{name}`",
        f"{instead}he candidates are {listed(known)}; add others in a `file` of your own",
    )


def candidates_for(question: Question | None) -> dict[str, Candidate]:
    """The shipped candidates and those of the question's own file, which come before shipped ones
    of the same name; StoryboardError with what is wrong in a file."""
    entries = dict(read_candidates(candidates_file()))
    if question is not None and question.file is not None:
        entries |= read_candidates(Path(question.file))
    return {name: entry.candidate(name) for name, entry in entries.items()}


def known_candidates(board: Storyboard) -> frozenset[str]:
    """What the shipped candidates and those of a storyboard's own files are called, each of several
    names by itself, in small letters."""
    known = list(candidates_for(None).values())
    for question in board.materials.values():
        known += candidates_for(question).values()
    return frozenset(name.lower() for one in known for name in one.called.split(phrase(" or ")))


def answer_questions(
    source: Source,
    series: Mapping[str, Series],
    regions: Mapping[str, PlacedRegion],
    names: Iterable[str],
) -> dict[str, Answer]:
    """The named questions answered.

    Raises
    ------
    StoryboardError
        With a fault for each whose region holds no CT numbers, or whose beam is not known.
    """

    def answer(name: str) -> Answer:
        question = source.board.materials[name]
        region = regions[question.region]
        found = _measured(region)
        if found.measure.unit != "HU":
            raise FitError(
                f"the values in `{region.name}` are not in HU, and only CT numbers tell of"
                " attenuation",
                "Ask about a region of a CT scan in HU",
            )
        scan = source.board.views[source.board.regions[region.name].view].scan
        tube_kv = None if question.energy_kev is not None else series[scan].kvp
        energy = _energy(question, tube_kv, scan)
        known = candidates_for(question)
        bands = bands_of([known[one] for one in question.candidates or known], energy)
        parts = bands_of([known[one] for one in question.mix or ()], energy)
        return Answer(
            name=name,
            called=question.called,
            region=region.name,
            region_called=region.called,
            measure=found.measure,
            statistics=found.statistics,
            group=found.group,
            energy=energy,
            tube_kv=tube_kv,
            bands=tuple(sorted(bands, key=lambda band: sum(band.calculated))),
            mix=(parts[0], parts[1]) if parts else None,
        )

    return dict(_answered(source, ("materials",), names, answer))


def _energy(question: Question, tube_kv: float | None, scan: str) -> Energy:
    if question.energy_kev is not None:
        return stated_energy(question.energy_kev)
    instead = "Add `energy_kev` to the question: the effective energy of the beam"
    if tube_kv is None:
        raise FitError(f"the files of the scan `{scan}` do not say the tube voltage", instead)
    low, high = TUBE_KV
    if not low <= tube_kv <= high:
        raise FitError(
            f"the scan `{scan}` was made with {tube_kv:g} kV, and the rule for the effective energy"
            f" holds from {low:g} to {high:g} kV",
            instead,
        )
    return effective_energy(tube_kv)


def place_contrasts(
    source: Source,
    sights: Mapping[str, Sight],
    regions: Mapping[str, PlacedRegion],
    names: Iterable[str],
) -> dict[str, PlacedContrast]:
    """The named contrasts.

    Raises
    ------
    StoryboardError
        With a fault for each that cannot be measured, or whose regions have samples in common.
    """

    def place(name: str) -> PlacedContrast:
        contrast = source.board.contrasts[name]
        pair = sorted(
            (_measured(regions[one]) for one in contrast.regions),
            key=lambda one: -one.statistics.mean,
        )
        views = {source.board.regions[one].view for one in contrast.regions}
        if len(views) == 1:
            _check_apart([one.region for one in pair], sights[views.pop()])
        first, second = pair
        return PlacedContrast(
            name,
            contrast.called,
            (first.region.name, second.region.name),
            (first.region.called, second.region.called),
            (first.measure, second.measure),
            Contrast(first.group, second.group),
        )

    return dict(_answered(source, ("contrasts",), names, place))


def _check_apart(pair: Sequence[PlacedRegion], sight: Sight) -> None:
    """FitError if two regions of one view have a sample in common."""
    if sight.picture.flattening is not None:
        return
    first, second = (outline_mask(sight.picture.grid, outline_of(one.figure)) for one in pair)
    if (first & second).any():
        raise FitError(
            f"`{pair[0].name}` and `{pair[1].name}` overlap, and what lies in both is no"
            " difference",
            "Draw them apart",
        )


class _Measured(NamedTuple):
    """A region with enough samples in it to compare."""

    region: PlacedRegion
    measure: AreaMeasure
    statistics: Statistics
    group: Group


def _measured(region: PlacedRegion) -> _Measured:
    """What was measured in a region; FitError if it is too little to compare."""
    measure = region.measure
    if not isinstance(measure, AreaMeasure):
        raise FitError(
            f"`{region.name}` cannot be measured: its view has no values, or no scale",
            "Name a region on a view of a scan",
        )
    statistics, found = measure.statistics, measure.distribution
    if statistics is None or statistics.sd is None or found is None:
        count = statistics.n if statistics is not None else 0
        raise FitError(
            f"`{region.name}` holds {count} samples, and a distribution takes {LEAST_FOR_SD}",
            "Draw the region larger",
        )
    filled = [(v, n) for v, n in zip(found.values, found.counts, strict=True) if n]
    values, weights = zip(*filled, strict=True)
    independent = max(found.independent, 2.0)
    group = Group(statistics.mean, statistics.sd, independent, values, weights)
    return _Measured(region, measure, statistics, group)


def _answered(
    source: Source, section: FieldPath, names: Iterable[str], find: Callable[[str], _Found]
) -> Iterator[tuple[str, _Found]]:
    """What is found for each name; a fault at its line for each that has nothing."""
    faults: list[Fault] = []
    for name in names:
        try:
            yield name, find(name)
        except FitError as error:
            path = (*section, name)
            faults.append(source.places.fault(path, error.wrong, error.instead))
    if faults:
        raise StoryboardError(faults)
