"""What a record says of a reference account: each stage, its answer, and the slides it rests on."""

from collections.abc import Sequence
from typing import Any

from slidekit.storyboard.account import Stage, Stages
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.lookup import definitions
from slidekit.storyboard.showing import shown_by
from slidekit.storyboard.slides import CompareSlide, OwnSlide, ScanSlide

Json = dict[str, Any]


def account_record(board: Storyboard, slides: Sequence[OwnSlide]) -> Json:
    """The account as it stands in the storyboard, with the slides that show its evidence; nothing
    for a storyboard without one."""
    if board.account is None:
        return {}
    stages = Stages(board.account)
    return {
        "account": {
            "called": board.account.called,
            "source": board.account.source,
            "stages": [_stage(name, stages, board, slides) for name in stages],
        }
    }


def _stage(name: str, stages: Stages, board: Storyboard, slides: Sequence[OwnSlide]) -> Json:
    stage: Stage = stages.known[name]
    return {
        "name": name,
        "called": stage.called,
        "about": stage.about,
        "here": stage.here,
        "note": stage.note,
        "by": {one: _showing(one, board, slides) for one in stage.by},
        "series": stage.series,
        "slides": [slide.id for slide in slides if _is_about(name, slide, stages)],
    }


def _showing(evidence: str, board: Storyboard, slides: Sequence[OwnSlide]) -> list[str]:
    """The ids of the slides that show it."""
    name, defined = evidence.partition(".")[0], definitions(board)
    return [slide.id for slide in slides if name in shown_by(slide, defined)]


def _is_about(name: str, slide: OwnSlide, stages: Stages) -> bool:
    """Whether the slide compares the stage, or has it as the present one in its row."""
    match slide:
        case ScanSlide():
            return slide.stage == name
        case CompareSlide():
            return name in stages.chosen(slide.stages)
    return False
