"""Faults of materials questions and contrasts that show before anything is measured."""

from collections.abc import Iterator
from typing import TypeAlias

from slidekit.storyboard.materials import Contrast, Question
from slidekit.storyboard.names.lookup import (
    CONTRASTS,
    QUESTIONS,
    REGIONS,
    VIEWS,
    Definitions,
    complaint_about,
)
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.regions import AREA_SHAPES, RegionBase
from slidekit.storyboard.views import View

_Complaint: TypeAlias = tuple[FieldPath, str, str]


def complaints_about_readings(defined: Definitions) -> Iterator[_Complaint]:
    """Regions that are not there, hold no values, or cannot be held against each other."""
    for name, question in defined[QUESTIONS].items():
        if isinstance(question, Question):
            path: FieldPath = ("materials", name)
            yield from _about_region((*path, "region"), question.region, defined)
            yield from _about_pair((*path, "mix"), question.mix or ())
    for name, contrast in defined[CONTRASTS].items():
        if isinstance(contrast, Contrast):
            both: FieldPath = ("contrasts", name, "regions")
            for i, region in enumerate(contrast.regions):
                yield from _about_region((*both, i), region, defined)
            yield from _about_pair(both, contrast.regions)
            yield from _about_scans(both, contrast, defined)


def _about_pair(path: FieldPath, names: tuple[str, ...]) -> Iterator[_Complaint]:
    if len(set(names)) < len(names):
        yield path, f"`{names[0]}` is named twice", "Name two different ones"


def _about_region(path: FieldPath, name: str, defined: Definitions) -> Iterator[_Complaint]:
    if complaint := complaint_about(name, (REGIONS,), defined):
        yield path, *complaint
        return
    shape = getattr(defined[REGIONS][name], "shape", "")
    if shape not in AREA_SHAPES:
        article = "an" if shape[0] in "aeiou" else "a"
        wrong = f"`{name}` is {article} {shape}, and holds no values"
        yield path, wrong, "Name an ellipse, a rectangle or a polygon"


def _about_scans(path: FieldPath, contrast: Contrast, defined: Definitions) -> Iterator[_Complaint]:
    regions = [defined[REGIONS].get(name) for name in contrast.regions]
    views = [defined[VIEWS].get(one.view) for one in regions if isinstance(one, RegionBase)]
    scans = dict.fromkeys(view.scan for view in views if isinstance(view, View))
    if len(scans) > 1:
        wrong = f"its regions lie on two scans, `{'` and `'.join(scans)}`"
        yield path, wrong, "Draw both on views of one scan: two scans may be set differently"
