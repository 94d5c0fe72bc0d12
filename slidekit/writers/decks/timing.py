"""Clicks: groups that appear one after another.

The tree is the one ECMA-376 Part 1, 19.5 describes for an entrance effect: a main sequence, one
branch for each click, one effect for each shape. Only whole top-level groups are targets: the
format allows a group's child too, but no editor offers it.
"""

from collections.abc import Sequence
from itertools import count

_NOW = '<p:stCondLst><p:cond delay="0"/></p:stCondLst>'
_ON_CLICK = '<p:stCondLst><p:cond delay="indefinite"/></p:stCondLst>'


def timing(clicks: Sequence[Sequence[int]]) -> str:
    """The p:timing that shows the shapes `clicks[0]` on the first click, and so on.

    No clicks: an empty string, since an empty sequence is not allowed.
    """
    if not clicks:
        return ""
    ids = count(3)
    return (
        '<p:timing><p:tnLst><p:par><p:cTn id="1" dur="indefinite" restart="never" '
        'nodeType="tmRoot"><p:childTnLst><p:seq concurrent="1" nextAc="seek">'
        '<p:cTn id="2" dur="indefinite" nodeType="mainSeq"><p:childTnLst>'
        + "".join(_click(shape_ids, ids) for shape_ids in clicks)
        + "</p:childTnLst></p:cTn>"
        '<p:prevCondLst><p:cond evt="onPrev" delay="0"><p:tgtEl><p:sldTgt/></p:tgtEl></p:cond>'
        '</p:prevCondLst><p:nextCondLst><p:cond evt="onNext" delay="0"><p:tgtEl><p:sldTgt/>'
        "</p:tgtEl></p:cond></p:nextCondLst></p:seq></p:childTnLst></p:cTn></p:par></p:tnLst>"
        "</p:timing>"
    )


def _click(shape_ids: Sequence[int], ids: "count[int]") -> str:
    outer, inner = next(ids), next(ids)
    effects = "".join(
        _appear(shape_id, "withEffect" if i else "clickEffect", ids)
        for i, shape_id in enumerate(shape_ids)
    )
    return (
        f'<p:par><p:cTn id="{outer}" fill="hold">{_ON_CLICK}<p:childTnLst>'
        f'<p:par><p:cTn id="{inner}" fill="hold">{_NOW}<p:childTnLst>{effects}'
        "</p:childTnLst></p:cTn></p:par></p:childTnLst></p:cTn></p:par>"
    )


def _appear(shape_id: int, node: str, ids: "count[int]") -> str:
    effect, change = next(ids), next(ids)
    return (
        f'<p:par><p:cTn id="{effect}" presetID="1" presetClass="entr" presetSubtype="0" '
        f'fill="hold" nodeType="{node}">{_NOW}<p:childTnLst><p:set><p:cBhvr>'
        f'<p:cTn id="{change}" dur="1" fill="hold">{_NOW}</p:cTn>'
        f'<p:tgtEl><p:spTgt spid="{shape_id}"/></p:tgtEl>'
        "<p:attrNameLst><p:attrName>style.visibility</p:attrName></p:attrNameLst></p:cBhvr>"
        '<p:to><p:strVal val="visible"/></p:to></p:set></p:childTnLst></p:cTn></p:par>'
    )
