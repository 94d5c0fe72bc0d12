import pytest

from slidekit.storyboard.names.faults import find_name_faults
from tests.storyboard.boards import BOARD, read, spoiled

LOOK = {
    "marks": ("blue", "orange", "yellow"),
    "windows": ("soft_tissue", "bone", "ceramic"),
    "style_name": "lecture-dark",
}


def found(folder, text: str) -> list[str]:
    faults = find_name_faults(read(folder, text), **LOOK)
    return [str(fault).replace(f"{folder}/talk.yaml:", "") for fault in faults]


def test_a_sound_storyboard_has_no_faults(tmp_path):
    assert found(tmp_path, BOARD) == []


def test_what_is_defined_and_not_used_is_no_fault(tmp_path):
    spare = "  spare: {view: side, shape: point, at_mm: [0, 0], called: the spare}\n"
    assert found(tmp_path, spoiled("  wall: {view: side", f"{spare}  wall: {{view: side")) == []


SHOWN = "      - {view: side, regions: [wall]}"

SAY = "The wall is {wall.length} thick. That was in {late}."

FAULTS = [
    # --- pictures beside a picture
    (
        SHOWN,
        "      - {view: side, locator: bass}",
        "50: slides[3].views[1].locator: there is no view `bass`. Write `base` if you mean that;"
        " the views are base, side, slice.",
    ),
    (
        SHOWN,
        "      - {view: side, locator: side}",
        "50: slides[3].views[1].locator: `side` cannot show where it lies itself. Name a view in"
        " another plane, or remove `locator`.",
    ),
    (
        SHOWN,
        "      - {view: side, inset: {region: base}}",
        "50: slides[3].views[1].inset.region: `base` is a view, not a region. Define it, or choose"
        " another: the regions are coil, wall, plug.",
    ),
    (
        "side: {scan: urn,",
        "side: {crop_around: {region: cool}, scan: urn,",
        "12: views.side.crop_around.region: there is no region `cool`. Write `coil` if you mean"
        " that; the regions are coil, wall, plug.",
    ),
    # --- names of views
    (
        "base: {scan: urn,",
        "base: {scan: pot,",
        "11: views.base.scan: there is no scan `pot`. Define it, or choose another: the scans are"
        " urn.",
    ),
    (
        "base: {scan: urn,",
        "base: {scan: urm,",
        "11: views.base.scan: there is no scan `urm`. Write `urn`, the only one there is, or"
        " define it.",
    ),
    (
        "base: {scan: urn,",
        "base: {scan: coil,",
        "11: views.base.scan: `coil` is a region, not a scan. Define it, or choose another: the"
        " scans are urn.",
    ),
    (
        "window: bone}\n  side",
        "window: bonne}\n  side",
        "11: views.base.window: the style `lecture-dark` has no window `bonne`. Write `bone` if"
        " you mean that; it has soft_tissue, bone, ceramic. Or write {center: 40, width: 400}.",
    ),
    (
        "window: bone}\n  side",
        "window: xxxx}\n  side",
        "11: views.base.window: the style `lecture-dark` has no window `xxxx`. It has soft_tissue,"
        " bone, ceramic. Or write {center: 40, width: 400}.",
    ),
    # --- planes of views
    (
        "plane: coronal, at_mm: 3.5,",
        "plane: coronal,",
        "12: views.side.at_mm: is missing. Add it: the place of the plane along patient y, as in"
        " `at_mm: 12.5`.",
    ),
    (
        "plane: coronal, at_mm: 3.5,",
        "plane: sagittal, slice: 3,",
        "12: views.side.slice: `slice` counts acquired slices, and the plane is sagittal. Write"
        " `at_mm` (patient x), or `plane: acquired`.",
    ),
    (
        "slice: 40,",
        "slice: 40, at_mm: 2,",
        "13: views.slice.slice: `slice` and `at_mm` are both given. Write one of the two.",
    ),
    # --- regions
    (
        "  coil:\n    view: base",
        "  coil:\n    view: bass",
        "16: regions.coil.view: there is no view `bass`. Write `base` if you mean that; the views"
        " are base, side, slice.",
    ),
    (
        "    called: the coil of wire",
        "    called: the coil of wire\n    color: ornage",
        "21: regions.coil.color: the style `lecture-dark` has no mark `ornage`. Write `orange` if"
        " you mean that; it has blue, orange, yellow.",
    ),
    (
        "wall: {view: side, shape: line, from_mm: [0, 0], to_mm: [0, 12]",
        "wall: {view: side, shape: line, from_px: [0, 0], to_px: [0, 12]",
        "21: regions.wall.from_px: `from_px` counts pixels of an acquired slice, and `side` is"
        " coronal. Write `from_mm` (patient millimetres).\n"
        "21: regions.wall.to_px: `to_px` counts pixels of an acquired slice, and `side` is"
        " coronal. Write `to_mm` (patient millimetres).",
    ),
    (
        "points_px: [[1, 2], [9, 2], [5, 9]]",
        "points_mm: [[1, 2, 3], [9, 2], [5, 9, 3]]",
        "22: regions.plug.points_mm[1]: two numbers do not fix a place: `slice` is an acquired"
        " slice. Write patient x, y and z, or `points_px` (pixels).",
    ),
    # --- dates and findings
    (
        "    late: {label",
        "    wall: {label: x, start: 1 CE, end: 2 CE}\n    late: {label",
        "25: chronology.periods.wall: `wall` is also a name in `regions`. Rename one of the two:"
        " words and findings use both.",
    ),
    (
        "evidence: [coil, late]",
        "evidence: [coil, lade]",
        "29: findings.sealed.evidence[1]: there is no region, period, event or finding `lade`."
        " Write `late` if you mean that; the names are coil, wall, plug, late, burial, sealed.",
    ),
    (
        "evidence: [coil, late]",
        "evidence: [coil, base]",
        "29: findings.sealed.evidence[1]: `base` is a view, not a region, period, event or finding."
        " Define it, or choose another: the names are coil, wall, plug, late, burial, sealed.",
    ),
    (
        "evidence: [coil, late]",
        "evidence: [coil, coil]",
        "29: findings.sealed.evidence[1]: `coil` is named twice. Remove one of the two.",
    ),
    (
        "evidence: [coil, late]",
        "evidence: [coil, plug]",
        "29: findings.sealed.evidence[1]: no slide shows `plug`, on which this finding rests. Show"
        " it on a slide before, or remove it from the evidence.",
    ),
    # --- slides
    (
        "    kind: title\n    view: base",
        "    kind: title\n    view: coil",
        "33: slides[0].view: `coil` is a region, not a view. Define it, or choose another: the"
        " views are base, side, slice.",
    ),
    (
        "{view: side, regions: [wall]}",
        "{view: sid, regions: [wall]}",
        "50: slides[3].views[1].view: there is no view `sid`. Write `side` if you mean that; the"
        " views are base, side, slice.",
    ),
    (
        "{view: side, regions: [wall]}",
        "{view: side, regions: [wall, wal]}",
        "50: slides[3].views[1].regions[1]: there is no region `wal`. Write `wall` if you mean"
        " that; the regions are coil, wall, plug.",
    ),
    (
        "{view: side, regions: [wall]}",
        "{view: side, regions: [wall, wall]}",
        "50: slides[3].views[1].regions[1]: `wall` is named twice. Remove one of the two.",
    ),
    (
        "highlight: [late]",
        "highlight: [coil]",
        "56: slides[4].highlight[0]: `coil` is a region, not a period or event. Define it, or"
        " choose another: the names are late, burial.",
    ),
    (
        "title: What was known",
        "title: When",
        "56: slides[4].title: the slides `words` and `time` have the same title. Give each its"
        " own: menus and screen readers find slides by their titles.",
    ),
    (
        "findings: [sealed]}",
        "findings: [closed]}",
        "57: slides[5].findings[0]: there is no finding `closed`. Define it, or choose another:"
        " the findings are sealed.",
    ),
    (
        "    body: [It holds a coil.]\n    views: [{view: base, regions: [coil]}]",
        "    body: [It holds a coil.]\n    views: [{view: base, regions: [coils]}]",
        "64: panels.poster.views[0].regions[0]: there is no region `coils`. Write `coil` if you"
        " mean that; the regions are coil, wall, plug.",
    ),
    # --- what is printed
    (
        "caption: Seen from below",
        "caption: See [show coil] there",
        "49: slides[3].views[0].caption: [show coil] is printed as it stands: clicks and marks are"
        " for `say`. Write the words themselves, without the brackets.",
    ),
    (
        "caption: Seen from below",
        "caption: See {plug.mark} and {coil.length}",
        "49: slides[3].views[0].caption: {plug.mark} is said, and no view of this page has the"
        " region. List it under `regions` of a view of this page, or write {plug.called}.\n"
        "49: slides[3].views[0].caption: {coil.length} is said, and `coil` is no line. Use a region"
        " of `shape: line` for a length.",
    ),
    (
        "caption: Seen from below",
        "caption: Seen from below\n        table: [plug, wall, coil, coil]",
        "50: slides[3].views[0].table[0]: `plug` is not among the `regions` of this view. List it"
        " there, or remove it here.\n"
        "50: slides[3].views[0].table[1]: `wall` is a line, and holds no values. Name an ellipse, a"
        " rectangle or a polygon.\n"
        "50: slides[3].views[0].table[3]: `coil` is named twice. Remove one of the two.",
    ),
    (
        "{view: side, regions: [wall]}",
        "{view: side, regions: [wall], values: [plum]}",
        "50: slides[3].views[1].values[0]: `plum` is not among the `regions` of this view. List it"
        " there, or remove it here.",
    ),
    (
        "caption: Seen from below",
        "caption: Seen from below\n        profile: coil",
        "50: slides[3].views[0].profile: `coil` is an ellipse, and a profile runs along a line."
        " Name a region of `shape: line`.",
    ),
    (
        "chronology:",
        "volumes:\n  metal: {scan: um, shape: box, center_mm: [0, 0, 0], size_mm: [9, 9, 9],"
        " from_value: 9, called: x}\nchronology:",
        "24: volumes.metal.scan: there is no scan `um`. Define it, or choose another: the scans"
        " are urn.",
    ),
    (
        "points: [It is an urn, It is heavy]",
        "points: [It is an urn, '[show coil] It is heavy']",
        "37: slides[1].points[1]: [show coil] is printed as it stands: clicks and marks are for"
        " `say`. Write the words themselves, without the brackets.",
    ),
    (
        "body: [It holds a coil.]",
        "body: ['It is of {late.mark}.']",
        "63: panels.poster.body[0]: {late.mark} is not known: `late` is a date. Write {late} for"
        " the date, {late.called}, {late.start}, {late.end}, {late.duration}, {late.until.NAME}"
        " for the time to another.",
    ),
    (
        "body: [It holds a coil.]",
        "body: ['It holds {coil.length}, {coil.angles}.']",
        "63: panels.poster.body[0]: {coil.length} is said, and `coil` is no line. Use a region of"
        " `shape: line` for a length.\n"
        "63: panels.poster.body[0]: {coil.angles} is not known. Write one of {coil.mark},"
        " {coil.letter}, {coil.called}, {coil.mean}, {coil.sd}, {coil.median}, {coil.min},"
        " {coil.max}, {coil.n}, {coil.area}, {coil.perimeter}, {coil.feret}, {coil.warning}.",
    ),
    (
        "statement: The mouth was closed",
        "statement: 'The mouth was closed in {lake}'",
        "29: findings.sealed.statement: {lake} is printed as it stands: clicks and marks are for"
        " `say`. Write the words themselves, without the brackets.",
    ),
    # --- words
    (
        "[show coil] {coil.mark}",
        "[show coin] {coil.mark}",
        "53: slides[3].say: there is no region `coin`. Write `coil` if you mean that; the regions"
        " are coil, wall, plug.",
    ),
    (
        "[show coil] {coil.mark}",
        "[show plug] {coil.mark}",
        "53: slides[3].say: [show plug] is said, and no view of this slide has the region. List it"
        " under `regions` of a view of this slide, or remove the click.",
    ),
    (
        SAY,
        SAY + " [show coil]",
        "55: slides[3].say: [show coil] is said twice on this slide. Remove one of the two.",
    ),
    (
        SAY,
        SAY + " In {lade}.",
        "55: slides[3].say: there is no region, period, event or finding `lade`. Write `late` if"
        " you mean that; the names are coil, wall, plug, late, burial, sealed.",
    ),
    (
        SAY,
        SAY + " In {late.mark}.",
        "55: slides[3].say: {late.mark} is not known: `late` is a date. Write {late} for the date,"
        " {late.called}, {late.start}, {late.end}, {late.duration}, {late.until.NAME} for the time"
        " to another.",
    ),
    (
        SAY,
        SAY + " It is {coil.size}.",
        "55: slides[3].say: {coil.size} is not known. Write one of {coil.mark}, {coil.letter},"
        " {coil.called}, {coil.mean}, {coil.sd}, {coil.median}, {coil.min}, {coil.max}, {coil.n},"
        " {coil.area}, {coil.perimeter}, {coil.feret}, {coil.warning}.",
    ),
    (
        SAY,
        SAY + " It is {wall.mean} and {coil.angle}.",
        "55: slides[3].say: {wall.mean} is said, and `wall` has no area. Use a region of"
        " `shape: ellipse`, `rectangle` or `polygon`.\n"
        "55: slides[3].say: {coil.angle} is said, and `coil` is no angle. Use a region of"
        " `shape: angle` for an angle.",
    ),
    (
        SAY,
        SAY + " It is {coil.length}.",
        "55: slides[3].say: {coil.length} is said, and `coil` is no line. Use a region of"
        " `shape: line` for a length.",
    ),
    (
        SAY,
        SAY + " It is {plug.mark}.",
        "55: slides[3].say: {plug.mark} is said, and no view of this page has the region. List it"
        " under `regions` of a view of this page, or write {plug.called}.",
    ),
]


@pytest.mark.parametrize(("old", "new", "messages"), FAULTS)
def test_a_name_that_leads_nowhere_is_told(tmp_path, old, new, messages):
    assert found(tmp_path, spoiled(old, new)) == messages.split("\n")


def test_a_region_may_be_called_by_name_where_it_is_not_shown(tmp_path):
    assert found(tmp_path, spoiled(SAY, SAY + " It is {plug.called}, {plug}.")) == []


def test_evidence_shown_only_later_is_told(tmp_path):
    lines = BOARD.splitlines(keepends=True)
    (closing,) = (line for line in lines if "id: closing" in line)
    text = "".join(line for line in lines if line != closing)
    text = text.replace("  - id: words\n", f"{closing}  - id: words\n")
    after = "after `closing`, which draws this conclusion from it. Show it on a slide before, or"
    assert found(tmp_path, text) == [
        "29: findings.sealed.evidence[0]: `coil` is shown on the slide `coil`,"
        f" {after} remove it from the evidence.",
        "29: findings.sealed.evidence[1]: `late` is shown on the slide `time`,"
        f" {after} remove it from the evidence.",
    ]


def test_evidence_of_a_finding_that_no_slide_draws_is_no_matter(tmp_path):
    other = "  other: {statement: x, certainty: possible, evidence: [plug]}\n"
    assert found(tmp_path, spoiled("slides:\n", f"{other}slides:\n")) == []


def test_a_timeline_needs_something_to_show(tmp_path):
    text = "talk: {title: x, slot_min: 5}\nslides:\n  - {id: time, kind: timeline, title: When}\n"
    assert found(tmp_path, text) == [
        "3: slides[0]: there is nothing to show on a timeline. Define `periods` or `events` under"
        " `chronology`."
    ]


REMAINS = spoiled("    folder: ct", "    folder: ct\n    human_remains: true")
NOTICE = "  - {id: notice, kind: notice, title: A word before, points: [Remains are shown.]}\n"


def test_human_remains_need_a_notice_before_them(tmp_path):
    assert found(tmp_path, REMAINS) == [
        "32: slides[0]: `base` shows human remains, and no notice comes before it. Add a slide of"
        " `kind: notice` before it."
    ]


def test_a_notice_after_the_first_picture_is_too_late(tmp_path):
    text = REMAINS.replace("  - id: words\n", f"{NOTICE}  - id: words\n")
    assert len(found(tmp_path, text)) == 1


def test_a_notice_before_the_first_picture_is_enough(tmp_path):
    text = REMAINS.replace("slides:\n", f"slides:\n{NOTICE}")
    assert found(tmp_path, text) == []


def test_two_regions_of_one_slide_may_not_have_one_color(tmp_path):
    text = spoiled("    called: the coil of wire", "    called: the coil of wire\n    color: blue")
    text = text.replace("called: the wall}", "called: the wall, color: blue}")
    assert found(tmp_path, text) == [
        "51: slides[3].views[1].regions[0]: `coil` and `wall` are both blue. Give one of them"
        " another `color`, or leave it out."
    ]


def test_one_region_may_be_shown_on_two_views(tmp_path):
    text = spoiled("    called: the coil of wire", "    called: the coil of wire\n    color: blue")
    text = text.replace("{view: side, regions: [wall]}", "{view: side, regions: [wall, coil]}")
    assert found(tmp_path, text) == []


def test_a_slide_can_refer_back_and_not_forward(tmp_path):
    text = spoiled("  - id: words\n", "  - id: words\n    needs: [coil, nowhere]\n")
    assert found(tmp_path, text) == [
        "35: slides[1].needs[0]: slide `coil` does not come before this one. Write one of opening.",
        "35: slides[1].needs[1]: there is no slide `nowhere`. Write one of opening.",
    ]


def test_one_view_has_nothing_to_share_a_scale_with(tmp_path):
    text = spoiled("      - {view: side, regions: [wall]}\n", "").replace(
        "    title: A coil of wire\n", "    title: A coil of wire\n    same_scale: true\n"
    )
    text = text.replace("The wall is {wall.length} thick. ", "")
    assert found(tmp_path, text) == [
        "46: slides[3].same_scale: there is one view, and nothing to have the same scale as. Show a"
        " second view, or remove `same_scale`."
    ]


def test_more_regions_than_marks_on_one_slide_are_told(tmp_path):
    more = [f"p{i}" for i in range(3)]
    points = "".join(
        f"  {name}: {{view: side, shape: point, at_mm: [0, 0], called: x}}\n" for name in more
    )
    text = spoiled("  wall: {view", points + "  wall: {view")
    text = text.replace("regions: [wall]}", f"regions: [wall, {', '.join(more)}]}}")
    assert found(tmp_path, text) == [
        "49: slides[3].views: 5 regions are shown, and the style has 3 marks. Show fewer on one"
        " page, or choose a style with more marks."
    ]
