"""What a record says of materials questions and contrasts: enough to answer them again."""

from importlib.metadata import version
from typing import Any

from slidekit.evidence.attenuation import LIBRARY
from slidekit.evidence.materials import SCANNER_HU, SCANNER_SHARE, Band, Range
from slidekit.scene.sights.model import Sights
from slidekit.scene.sights.readings import Answer, PlacedContrast

Json = dict[str, Any]


def readings_record(sights: Sights) -> Json:
    """Every candidate with its band and whether it remains; every difference with its interval."""
    return {
        "materials": {name: _answer(one) for name, one in sights.questions.items()},
        "contrasts": {name: _contrast(one) for name, one in sights.contrasts.items()},
    }


def _answer(answer: Answer) -> Json:
    low, high = answer.energy.range_kev
    return {
        "called": answer.called,
        "region": answer.region,
        "measured_hu": _ends(answer.measured),
        "effective_energy_kev": answer.energy.kev,
        "energy_range_kev": [round(low, 3), round(high, 3)],
        "tube_voltage_kv": answer.tube_kv,
        "scanner_hu": SCANNER_HU,
        "scanner_share": SCANNER_SHARE,
        "attenuation": f"{LIBRARY} {version(LIBRARY)}",
        "candidates": [_candidate(answer, band) for band in answer.bands],
        "mix": [band.candidate.name for band in answer.mix or ()],
        "fitting_percent": None if answer.share is None else list(answer.share),
        "method": "excluded: band clear of the 5th to 95th percentile of the samples",
    }


def _candidate(answer: Answer, band: Band) -> Json:
    one = band.candidate
    return {
        "name": one.name,
        "called": one.called,
        "density_g_cm3": list(one.density_g_cm3),
        "packing": list(one.packing),
        "pores": one.pores,
        "calculated_hu": _ends(band.calculated),
        "band_hu": _ends(band.whole),
        "possible": answer.may_be(band),
    }


def _contrast(placed: PlacedContrast) -> Json:
    contrast = placed.contrast
    effect = contrast.effect
    return {
        "called": placed.called,
        "regions": list(placed.regions),
        "unit": placed.unit,
        "difference": round(contrast.difference, 4),
        "interval_95": _ends(contrast.interval),
        "degrees_of_freedom": round(contrast.degrees_of_freedom, 2),
        "independent": [round(one.independent, 2) for one in (contrast.first, contrast.second)],
        "effect_sd": None if effect is None else round(effect, 4),
        "overlap": round(contrast.overlap, 4),
        "method": "Welch's interval with independent samples; difference over the root mean square"
        " of the SDs; area under both smoothed densities",
    }


def _ends(ends: Range) -> list[float | None]:
    """Both ends; null for one that is open."""
    return [None if abs(end) == float("inf") else round(end, 4) for end in ends]
