"""What a storyboard defines by name, and what to say of a name that it does not define."""

from collections.abc import Iterable, Mapping
from typing import TypeAlias

from slidekit.storyboard.account import Stages
from slidekit.storyboard.chronology import CASE_NAME, Chronology
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.naming import listed, nearest, with_article
from slidekit.storyboard.parts import Part

Section: TypeAlias = tuple[str, ...]
"""Where definitions stand, as in ("views",) or ("chronology", "periods")."""

SCANS, VIEWS, REGIONS = ("scans",), ("views",), ("regions",)
PERIODS, EVENTS = ("chronology", "periods"), ("chronology", "events")
THIS_CASE: Section = ("chronology",)
"""Holds one name at most, that of the case of the talk; its path is ("chronology", "this_case")."""
TABLES, COUNTS = ("tables",), ("counts",)
COMPARISONS, AGREEMENTS, QUOTED = ("comparisons",), ("agreements",), ("quoted",)
NUMBERS: tuple[Section, ...] = (COUNTS, COMPARISONS, AGREEMENTS, QUOTED)
"""What is a number in words and in print."""
FINDINGS, VOLUMES = ("findings",), ("volumes",)
SOURCES, TERMS = ("sources",), ("glossary",)
QUESTIONS, CONTRASTS = ("materials",), ("contrasts",)
READINGS: tuple[Section, ...] = (QUESTIONS, CONTRASTS)
"""What is made of measured values."""
ACCOUNT, STAGES = ("account",), ("account", "stages")
SECTIONS: tuple[Section, ...] = (
    SCANS, VIEWS, REGIONS, VOLUMES, PERIODS, EVENTS, THIS_CASE, TABLES, *NUMBERS, *READINGS,
    SOURCES, STAGES, FINDINGS, TERMS,
)  # fmt: skip
SHOWN_IN_PRINT: tuple[Section, ...] = (VOLUMES, *NUMBERS, SOURCES)
"""What a slide shows by printing it."""
SHOWN: tuple[Section, ...] = (
    REGIONS,
    PERIODS,
    EVENTS,
    THIS_CASE,
    *SHOWN_IN_PRINT,
    *READINGS,
    STAGES,
    FINDINGS,
)
"""What slides show, and so what the evidence of findings may name."""
SPOKEN: tuple[Section, ...] = (*SHOWN, TERMS)
"""What the spoken words may name."""
PRINTED: tuple[Section, ...] = (
    REGIONS, VOLUMES, PERIODS, EVENTS, THIS_CASE, *NUMBERS, *READINGS, SOURCES, STAGES, TERMS,
)  # fmt: skip
"""What printed words may name."""

_RARE = (THIS_CASE, *SHOWN_IN_PRINT, *READINGS, STAGES, FINDINGS, TERMS)

Definitions: TypeAlias = Mapping[Section, Mapping[str, Part]]

_NOUNS: Mapping[Section, str] = {
    SCANS: "scan",
    VIEWS: "view",
    REGIONS: "region",
    VOLUMES: "volume",
    PERIODS: "period",
    EVENTS: "event",
    THIS_CASE: "case of the talk",
    TABLES: "table",
    COUNTS: "count",
    COMPARISONS: "comparison",
    AGREEMENTS: "agreement",
    QUOTED: "quoted number",
    SOURCES: "source",
    STAGES: "stage",
    QUESTIONS: "materials question",
    CONTRASTS: "contrast",
    FINDINGS: "finding",
    TERMS: "term",
}


def definitions(board: Storyboard) -> dict[Section, Mapping[str, Part]]:
    """Everything that the board defines by name, by section."""
    chronology = board.chronology or Chronology()
    return {
        SCANS: board.scans,
        VIEWS: board.views,
        REGIONS: board.regions,
        VOLUMES: board.volumes,
        PERIODS: chronology.periods,
        EVENTS: chronology.events,
        THIS_CASE: {CASE_NAME: chronology.this_case} if chronology.this_case else {},
        TABLES: board.tables,
        COUNTS: board.counts,
        COMPARISONS: board.comparisons,
        AGREEMENTS: board.agreements,
        QUOTED: board.quoted,
        SOURCES: board.sources,
        ACCOUNT: {"account": board.account} if board.account else {},
        STAGES: Stages(board.account).known,
        QUESTIONS: board.materials,
        CONTRASTS: board.contrasts,
        FINDINGS: board.findings,
        TERMS: board.glossary,
    }


def complaint_about(
    name: str, sections: Iterable[Section], defined: Definitions
) -> tuple[str, str] | None:
    """What is wrong with `name` and what to write instead; None if one of `sections` has it."""
    sections = tuple(sections)
    known = list(dict.fromkeys(name for section in sections for name in defined[section]))
    if name in known:
        return None
    # kinds that few boards have, and this one has none of, only make the sentence longer
    likely = [s for s in sections if s not in _RARE or defined[s]] or sections
    wanted = _alternatives([_NOUNS[section] for section in likely])
    elsewhere = next((s for s in SECTIONS if name in defined[s]), None)
    if elsewhere is not None:
        wrong = f"`{name}` is {with_article(_NOUNS[elsewhere])}, not {with_article(wanted)}"
    else:
        wrong = f"there is no {wanted} `{name}`"
    if not known:
        return wrong, f"Define it under `{'.'.join(sections[0])}`"
    of_them = f"the {'names' if len(likely) > 1 else _NOUNS[likely[0]] + 's'} are"
    meant = nearest(name, known)
    if known == [meant]:
        return wrong, f"Write `{meant}`, the only one there is, or define it"
    if meant:
        return wrong, f"Write `{meant}` if you mean that; {of_them} {listed(known)}"
    return wrong, f"Define it, or choose another: {of_them} {listed(known)}"


def _alternatives(nouns: list[str]) -> str:
    return " or ".join(filter(None, (", ".join(nouns[:-1]), nouns[-1])))
