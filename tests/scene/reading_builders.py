"""Answers and contrasts made by hand, for tests of what is said and drawn of them."""

from slidekit.evidence.attenuation import parse_formula
from slidekit.evidence.counts.contrast import Contrast, Group
from slidekit.evidence.materials import Band, Candidate, Energy
from slidekit.scene.sights.readings import Answer, PlacedContrast
from tests.scene.builders import measured_area

WATER = parse_formula("H2O")


def band(name: str, low: float, high: float) -> Band:
    """Of a material that is called like its name."""
    candidate = Candidate(name, name.replace("_", " "), WATER, (1, 1))
    return Band(candidate, (low,), (high,))


def normal_group(mean: float, sd: float, n: int = 100) -> Group:
    """Three values that have this mean and about this SD."""
    return Group(mean, sd, n / 2, (mean - sd, mean, mean + sd), (n / 4, n / 2, n / 4))


def answer(*bands: Band, mean: float = 17.0, sd: float = 10.0, **changes) -> Answer:
    """What a region of 500 samples around `mean` could be: 5 to 95 % are two SD either way."""
    measure = changes.pop("measure", None) or measured_area(mean=mean, sd=sd)
    fields = {
        "name": "seal_is",
        "called": "What the seal could be",
        "region": "seal",
        "region_called": "the seal",
        "measure": measure,
        "statistics": measure.statistics,
        "group": normal_group(mean, sd),
        "energy": Energy(70.0, (57.0, 75.0)),
        "tube_kv": 120.0,
        "bands": bands,
    }
    return Answer(**{**fields, **changes})


def contrast(first=(17.0, 10.0), second=(-63.0, 10.0), **changes) -> PlacedContrast:
    """Two regions, `one` and `other`, each by its mean and SD."""
    measures = tuple(measured_area(mean=mean, sd=sd) for mean, sd in (first, second))
    fields = {
        "name": "both",
        "called": "Seal and mend",
        "regions": ("one", "other"),
        "regions_called": ("the one", "the other"),
        "measures": measures,
        "contrast": Contrast(normal_group(*first), normal_group(*second)),
    }
    return PlacedContrast(**{**fields, **changes})
