"""What a record says of whom a talk owes: the works it can cite, and whose the pictures are."""

from collections.abc import Iterable
from typing import Any

from slidekit.scene.text import paragraphs_of
from slidekit.storyboard.citations import Citations
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.scans import Scan

Json = dict[str, Any]


def credits_record(board: Storyboard, citations: Citations, scans: Iterable[str]) -> Json:
    """All sources of the storyboard; of `scans` their credit, rights and permission."""
    return {
        "sources": {name: _source(name, citations) for name in citations.bibliography.works},
        "scans": {name: _scan(board.scans[name]) for name in scans},
    }


def _source(name: str, citations: Citations) -> Json:
    works = citations.bibliography
    return {
        "type": works.works[name].kind,
        "cited": _plain(citations.say(name, "cite")),
        "spoken": citations.say(name, "", aloud=True),
        "reference": _plain(works.full(name)),
        "page": citations.pages[name],
    }


def _scan(scan: Scan) -> Json:
    rights = scan.statement
    return {
        "credit": scan.credit,
        "rights": rights.short,
        "rights_name": rights.name or None,
        "rights_uri": rights.uri or None,
        "permission": scan.permission,
        "permission_note": scan.permission_note,
    }


def _plain(text: str) -> str:
    """Without the marks of italic."""
    return "\n".join(paragraph.plain for paragraph in paragraphs_of(text))
