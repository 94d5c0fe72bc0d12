import pytest

from slidekit.errors import StoryboardError
from slidekit.evidence.dates.parse import Date
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.slides import ScanSlide
from slidekit.storyboard.windows import Window
from tests.storyboard.boards import BOARD, complaints, read, spoiled, write


def test_a_sound_storyboard_is_read_whole(tmp_path):
    board = read(tmp_path, BOARD).board
    assert board.talk.slot_min == 20
    assert board.views["base"].at_mm == -112
    assert board.views["side"].window == Window(center=300, width=1500)
    assert board.regions["plug"].points_px == ((1, 2), (9, 2), (5, 9))
    assert board.chronology.periods["late"].start == Date(-1299, -1299)
    assert [slide.id for slide in board.slides][:3] == ["opening", "words", "diary"]
    assert isinstance(board.slides[3], ScanSlide)


def test_scan_folders_are_seen_from_the_storyboard(tmp_path):
    source = read(tmp_path, BOARD)
    assert source.board.scans["urn"].folder == str(tmp_path / "ct")


def test_a_scan_folder_may_stand_anywhere(tmp_path):
    elsewhere = tmp_path / "elsewhere" / "ct"
    source = read(tmp_path / "talks", spoiled("folder: ct", f"folder: {elsewhere}"))
    assert source.board.scans["urn"].folder == str(elsewhere)


def test_a_board_that_is_read_has_only_slides_of_its_own(tmp_path):
    source = read(tmp_path, BOARD)
    assert source.slides == source.board.slides
    assert source.files == (tmp_path / "talk.yaml",)


@pytest.mark.parametrize(
    ("old", "new", "field", "value"),
    [
        ("title: What the urn holds\n  slot", "title: 1300\n  slot", "title", "1300"),
        ("title: What the urn holds\n  slot", "title: No\n  slot", "title", "No"),
        ("title: What the urn holds\n  slot", "title: 1.50\n  slot", "title", "1.50"),
        ("title: What the urn holds\n  slot", "title: '  on '\n  slot", "title", "on"),
        ("  slot_min: 20", "  slot_min: 20\n  occasion: 2026-03-05", "occasion", "2026-03-05"),
        ("  slot_min: 20", "  slot_min: 20\n  occasion: 12:30", "occasion", "12:30"),
        ("  slot_min: 20", "  slot_min: 20\n  subtitle:", "subtitle", ""),
        ("  slot_min: 20", '  slot_min: "20"', "slot_min", 20),
    ],
)
def test_plain_words_mean_what_they_say(tmp_path, old, new, field, value):
    assert getattr(read(tmp_path, spoiled(old, new)).board.talk, field) == value


@pytest.mark.parametrize("written", ["yes", "true", "on", "True", "1"])
def test_yes_may_be_written_in_many_ways(tmp_path, written):
    text = spoiled("    folder: ct", f"    folder: ct\n    human_remains: {written}")
    assert read(tmp_path, text).board.scans["urn"].human_remains is True


def test_an_unquoted_date_is_read_as_it_stands(tmp_path):
    text = spoiled("earliest: 1100 BCE, latest: 1050 BCE", "at: 79")
    assert read(tmp_path, text).board.chronology.events["burial"].at == Date(79, 79)


def test_a_section_without_entries_is_as_if_not_written(tmp_path):
    text = "talk: {title: x, slot_min: 5}\nfindings:\nslides:\n- {id: a, kind: title}\n"
    assert read(tmp_path, text).board.findings == {}


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path):
    path = write(tmp_path, "\ufeff" + BOARD)
    assert read_storyboard(path).board.talk.slot_min == 20


FAULTS = [
    # --- missing and superfluous fields
    ("  slot_min: 20\n", "", "1: talk.slot_min: is missing. Add it, as in `slot_min: 20`."),
    ("slot_min: 20", "slot_min:", "3: talk.slot_min: is empty. Fill it in, as in `slot_min: 20`."),
    (
        "    called: the coil of wire\n",
        "",
        "15: regions.coil.called: is missing. Add it, as in `called: the wire coil`.",
    ),
    (
        "window: bone}\n  side",
        "windw: bone}\n  side",
        "11: views.base.windw: is not a field here. Write `window` if you mean that.",
    ),
    (
        "    called: the coil of wire",
        "    called: the coil of wire\n    colour: orange",
        "21: regions.coil.colour: is not a field here. Write `color` if you mean that.",
    ),
    (
        "  slot_min: 20",
        "  slot_min: 20\n  brightness: 5",
        "4: talk.brightness: is not a field here. The fields here are title, subtitle, speaker,"
        " occasion, slot_min, questions_min, words_per_min, room, audience, language, languages,"
        " programme and 1 more.",
    ),
    (
        "    points: [It is an urn, It is heavy]",
        "    points: [It is an urn]\n    views: [{view: base}]",
        "38: slides[1].views: is not a field here. Remove it, or choose a kind that has it: scan.",
    ),
    (
        "    called: the coil of wire",
        "    called: the coil of wire\n    tip_mm: [1, 2]",
        "21: regions.coil.tip_mm: is not a field here. Remove it, or choose a shape that has it:"
        " arrow.",
    ),
    (
        "  language: en-GB",
        "  findings: {}",
        "4: talk.findings: is not a field here. Begin the line of `findings:` without spaces: it"
        " is a section itself.",
    ),
    ("panels:", "panel:", "59: panel: is not a field here. Write `panels` if you mean that."),
    # --- words
    (
        "  title: What the urn holds\n  slot",
        "  title: [What the urn holds]\n  slot",
        "2: talk.title: was read as a list, because of its brackets or dashes. Put quotes around"
        " the words, or write them on the next lines after `|`.",
    ),
    (
        "  title: What the urn holds\n  slot",
        "  title: {urn}\n  slot",
        "2: talk.title: was read as a field with a value, because of its colon or braces. Put"
        " quotes around the words, or write them on the next lines after `|`.",
    ),
    (
        "points: [It is an urn, It is heavy]",
        "points: [It is an urn, 'It: heavy', {It is: heavy}]",
        "37: slides[1].points[2]: was read as a field with a value, because of its colon or"
        " braces. Put quotes around the words, or write them on the next lines after `|`.",
    ),
    (
        "    points: [It is an urn, It is heavy]",
        "    points:\n      - It is an urn\n      -",
        "39: slides[1].points[1]: is empty. Write words; after # they are a comment.",
    ),
    (
        "  title: What the urn holds\n  slot",
        "  title: ' '\n  slot",
        "2: talk.title: is empty. Write words, as in `title: What the urn holds`.",
    ),
    (
        "    called: the coil of wire",
        "    called: #1, the coil",
        "20: regions.coil.called: is empty, because # begins a comment. Put quotes around words"
        " that begin with #.",
    ),
    (
        "language: en-GB",
        "language: English",
        "4: talk.language: `English` is not a language tag. Write one, as in `language: en`"
        " (BCP 47).",
    ),
    # --- numbers
    (
        "slot_min: 20",
        "slot_min: twenty",
        "3: talk.slot_min: `twenty` is not a number. Write a number, as in `slot_min: 20`.",
    ),
    (
        "slot_min: 20",
        "slot_min: 20 min",
        "3: talk.slot_min: `20 min` is not a number. Write the number alone: 20.",
    ),
    (
        "slot_min: 20",
        "slot_min: 12,5",
        "3: talk.slot_min: `12,5` is not a number. Write it with a point: 12.5.",
    ),
    (
        "slot_min: 20",
        "slot_min: −5",
        "3: talk.slot_min: `−5` is not a number. Write the minus as a hyphen: -5.",
    ),
    (
        "slot_min: 20",
        "slot_min: [20]",
        "3: talk.slot_min: is a list, not a number. Write a number, as in `slot_min: 20`.",
    ),
    (
        "slot_min: 20",
        "slot_min: .nan",
        "3: talk.slot_min: `.nan` is not a number. Write a number, as in `slot_min: 20`.",
    ),
    (
        "slot_min: 20",
        "slot_min: inf",
        "3: talk.slot_min: `inf` is not a number. Write a number, as in `slot_min: 20`.",
    ),
    (
        "slot_min: 20",
        "slot_min: 0",
        "3: talk.slot_min: `0` is too small. Write more than 0.",
    ),
    (
        "slot_min: 20",
        "slot_min: 20\n  words_per_min: 300",
        "4: talk.words_per_min: `300` is too large. Write a number from 60 to 240.",
    ),
    (
        "slice: 40",
        "slice: 40.5",
        "13: views.slice.slice: `40.5` is not a whole number. Write a whole number, as in"
        " `slice: 40`.",
    ),
    ("slice: 40", "slice: 0", "13: views.slice.slice: `0` is too small. Write 1 or more."),
    (
        "width: 1500",
        "width: 0.5",
        "12: views.side.window.width: `0.5` is too small. Write 1 or more, or add"
        " `curve: linear_exact`, which takes less.",
    ),
    (
        "size_mm: [420, 594]",
        "size_mm: [42, 594]",
        "61: panels.poster.size_mm[0]: `42` is too small. Write a number from 100 to 1400.",
    ),
    # --- lists
    (
        "center_mm: [12, -3]",
        "center_mm: [12]",
        "18: regions.coil.center_mm: has 1 entry. Write 2 or 3.",
    ),
    (
        "radii_mm: [14, 9]",
        "radii_mm: [14]",
        "19: regions.coil.radii_mm: has 1 entry. Write exactly 2.",
    ),
    (
        "radii_mm: [14, 9]",
        "radii_mm: []",
        "19: regions.coil.radii_mm: has no entries. Write exactly 2.",
    ),
    (
        "radii_mm: [14, 9]",
        "radii_mm: [14, 9, 3]",
        "19: regions.coil.radii_mm: has 3 entries. Write exactly 2.",
    ),
    (
        "radii_mm: [14, 9]",
        "radii_mm: 14",
        "19: regions.coil.radii_mm: `14` is not a list. Write [14, 14].",
    ),
    (
        "radii_mm: [14, 9]",
        "radii_mm: {x: 14}",
        "19: regions.coil.radii_mm: is not a list. Begin each entry with a dash and a space: `- `.",
    ),
    (
        "points_px: [[1, 2], [9, 2], [5, 9]]",
        "points_px: [[1, 2], [9, 2]]",
        "22: regions.plug.points_px: has 2 entries. Write 3 or more.",
    ),
    (
        "points: [It is an urn, It is heavy]",
        "points: [a, b, c, d, e, f, g]",
        "37: slides[1].points: has 7 entries. Write 1 to 6.",
    ),
    (
        "points: [It is an urn, It is heavy]",
        "points: []",
        "37: slides[1].points: has no entries. Write 1 to 6.",
    ),
    # --- choices
    (
        "plane: axial",
        "plane: axail",
        "11: views.base.plane: `axail` is not allowed here. Write `axial` if you mean that;"
        " allowed are acquired, axial, coronal, sagittal, oblique, curved, picture.",
    ),
    (
        "plane: axial",
        "plane: Axial",
        "11: views.base.plane: `Axial` is not allowed here. Write `axial` if you mean that;"
        " allowed are acquired, axial, coronal, sagittal, oblique, curved, picture.",
    ),
    (
        "plane: axial",
        "plane: [axial]",
        "11: views.base.plane: is a list where one word is expected. Write one of acquired, axial,"
        " coronal, sagittal, oblique, curved, picture.",
    ),
    (
        "certainty: observed",
        "certainty: certain",
        "29: findings.sealed.certainty: `certain` is not allowed here. Write `almost certain` if"
        " you mean that; allowed are observed, almost certain, probable, possible, cannot be"
        " shown.",
    ),
    (
        "    kind: quote",
        "    kind: quotation",
        "39: slides[2].kind: `quotation` is not allowed here. Write one of borrowed, compare,"
        " credits, findings, glossary, materials, notice, quote, scan, series, text, timeline,"
        " title.",
    ),
    (
        "    kind: quote\n",
        "",
        "38: slides[2].kind: is missing. Write one of borrowed, compare, credits, findings,"
        " glossary, materials, notice, quote, scan, series, text, timeline, title.",
    ),
    (
        "    shape: ellipse",
        "    shape: [ellipse]",
        "17: regions.coil.shape: is a list where one word is expected. Write one of angle,"
        " arrow, ellipse, line, point, polygon, rectangle.",
    ),
    (
        "    shape: ellipse",
        "    shape:",
        "17: regions.coil.shape: is empty. Write one of angle, arrow, ellipse, line, point,"
        " polygon, rectangle.",
    ),
    (
        "    folder: ct",
        "    folder: ct\n    human_remains: maybe",
        "8: scans.urn.human_remains: `maybe` is neither true nor false. Write true or false.",
    ),
    # --- groups of fields
    (
        "  urn:\n    folder: ct\n    credit: Scan by the town museum, 2025\n    rights: CC BY 4.0",
        "  urn: ct",
        "6: scans.urn: is `ct` where fields with values are expected. Write its fields on the"
        " lines below, indented: folder, archive, picture, nifti, volume, unit, dicomweb,"
        " demo, series, mm_per_px, credit, rights and 3 more.",
    ),
    (
        "{view: side, regions: [wall]}",
        "side",
        "50: slides[3].views[1]: is `side` where fields with values are expected. Write"
        " `view: side`, and below it what else it has.",
    ),
    (
        "findings:\n  sealed: {",
        "findings:\n  - {",
        "28: findings: is a list where fields with values are expected. Write each entry as a"
        " name with a colon, without the dash.",
    ),
    (
        "findings:\n  sealed: {statement: The mouth was closed, certainty: observed,"
        " evidence: [coil, late]}",
        "findings: none",
        "28: findings: is `none` where fields with values are expected. Write a name with a"
        " colon, and after it what it stands for.",
    ),
    (
        "  - {id: thanks, kind: credits, title: Credits, points: [The diggers]}",
        "  - thanks",
        "58: slides[6]: is `thanks` where fields with values are expected. Write its fields,"
        " beginning with `kind: `.",
    ),
    (
        "window: {center: 300, width: 1500}",
        "window: {center: 300}",
        "12: views.side.window.width: is missing. Add it, as in `width: 400`.",
    ),
    (
        "window: {center: 300, width: 1500}",
        "window: [300, 1500]",
        "12: views.side.window: is a list. Write `window: soft_tissue` or `window: {center: 40,"
        " width: 400}`, for example.",
    ),
    # --- names
    (
        "  coil:\n    view: base",
        "  The Coil:\n    view: base",
        "15: regions.The Coil: `The Coil` is not a name. Use small letters, digits and _, and begin"
        " with a letter: the_coil.",
    ),
    (
        "scan: urn, plane: axial",
        "scan: Urn 1, plane: axial",
        "11: views.base.scan: `Urn 1` is not a name. Use small letters, digits and _, and begin"
        " with a letter: urn_1.",
    ),
    (
        "scan: urn, plane: axial",
        "scan: [urn], plane: axial",
        "11: views.base.scan: is a list where one name is expected. Write one name, as in"
        " `scan: urn`.",
    ),
    # --- what goes together
    (
        "    folder: ct",
        "    folder: ct\n    demo: urn",
        "6: scans.urn: has `folder` and `demo`, and its images come from one place. Keep one of"
        " them.",
    ),
    (
        "    radii_mm: [14, 9]",
        "    radii_px: [14, 9]",
        "15: regions.coil: the coordinates are incomplete, or mix millimetres and pixels. Write"
        " `center_mm` and `radii_mm` (patient millimetres), or `center_px` and `radii_px`"
        " (pixels), and nothing of the other.",
    ),
    (
        "earliest: 1100 BCE, latest: 1050 BCE",
        "earliest: 1100 BCE",
        "27: chronology.events.burial: needs `at`, or both `earliest` and `latest`, or"
        " `calibrated`. Write one of the three forms.",
    ),
    (
        "earliest: 1100 BCE, latest: 1050 BCE",
        "earliest: 1050 BCE, latest: 1100 BCE",
        "27: chronology.events.burial: `earliest` is later than `latest`. Exchange the two, or"
        " mend one of them.",
    ),
    (
        "start: 1300 BCE, end: c. 950 BCE",
        "start: c. 950 BCE, end: 1300 BCE",
        "25: chronology.periods.late: ends before it starts. Exchange `start` and `end`, or mend"
        " one.",
    ),
    # --- slides and their words
    (
        "  - {id: time,",
        "  - {id: coil,",
        "56: slides[4].id: the slide id `coil` is used before, on line 43. Give each slide an id"
        " of its own.",
    ),
    (
        "[show coil] {coil.mark} is",
        "[show coil {coil.mark} is",
        "53: slides[3].say: the bracket [ is not closed, at “[show coil {coil.mark} i”. Close it"
        " with ], or write [[ when it is part of the words.",
    ),
    (
        "The wall is {wall.length} thick",
        "The wall [sic] is {wall.length} thick",
        "55: slides[3].say: [sic] is not known. Write [show NAME], [pause 5], [may] or"
        " [should], or [[ and ]] for brackets that are part of the words.",
    ),
    (
        "The wall is {wall.length} thick",
        "The wall is {Wall length} thick",
        "55: slides[3].say: {Wall length} is not known. Write {NAME} or {NAME.part}, as in"
        " {coil.mark}, or {{ and }} for brackets that are part of the words.",
    ),
]


@pytest.mark.parametrize(("old", "new", "message"), FAULTS)
def test_a_fault_is_told_with_its_line_and_what_to_write(tmp_path, old, new, message):
    assert complaints(tmp_path, spoiled(old, new)) == [f"talk.yaml:{message}"]


def test_a_date_fault_is_told_in_the_words_of_the_dates(tmp_path):
    (message,) = complaints(tmp_path, spoiled("start: 1300 BCE", "start: long ago"))
    assert message.startswith(
        "talk.yaml:25: chronology.periods.late.start: 'long ago' is not a date that can be read."
        ' Write it as in "1300 BCE"'
    )


def test_a_negative_year_without_quotes_is_not_guessed(tmp_path):
    (message,) = complaints(tmp_path, spoiled("start: 1300 BCE", "start: -1300"))
    assert message.startswith(
        "talk.yaml:25: chronology.periods.late.start: -1300 could be the year 1300 BCE or an"
        ' astronomical year. Write "1300 BCE"'
    )


def test_a_negative_year_in_quotes_is_an_edtf_year(tmp_path):
    text = spoiled("start: 1300 BCE", 'start: "-1299"')
    assert read(tmp_path, text).board.chronology.periods["late"].start == Date(-1299, -1299)


def test_all_faults_of_a_file_come_at_once_in_its_order(tmp_path):
    text = BOARD.replace("slot_min: 20", "slot_min: 0").replace("plane: axial", "plane: flat")
    text = text.replace("{coil.mark}", "{coil.mark").replace("{id: time", "{id: coil")
    lines = [message.split(": ")[0] for message in complaints(tmp_path, text)]
    assert lines == ["talk.yaml:3", "talk.yaml:11", "talk.yaml:53", "talk.yaml:56"]


NO_STORYBOARD = "Begin it with the sections `talk:` and `slides:`."


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", f"1: storyboard: the file is empty. {NO_STORYBOARD}"),
        ("# notes\n", f"1: storyboard: the file is empty. {NO_STORYBOARD}"),
        ("- a\n- b\n", f"1: storyboard: the file holds a list. {NO_STORYBOARD}"),
        ("once upon a time\n", f"1: storyboard: the file holds plain words. {NO_STORYBOARD}"),
    ],
)
def test_a_file_that_is_no_storyboard_is_told_so(tmp_path, text, message):
    assert complaints(tmp_path, text) == [f"talk.yaml:{message}"]


def refusal(path) -> str:
    with pytest.raises(StoryboardError) as raised:
        read_storyboard(path)
    return str(raised.value)


def test_a_missing_file_is_told_plainly(tmp_path):
    path = tmp_path / "talk.yaml"
    assert refusal(path) == (
        f"{path}:1: storyboard: there is no such file. Check the path and the name."
    )


def test_a_folder_is_no_storyboard(tmp_path):
    assert refusal(tmp_path) == (
        f"{tmp_path}:1: storyboard: this is a folder. Name the storyboard file in it, as in"
        " talk.yaml."
    )


def test_a_file_in_another_encoding_is_told_with_the_line(tmp_path):
    path = tmp_path / "talk.yaml"
    path.write_bytes("talk:\n  title: Grab der Tänzerin\n".encode("latin-1"))
    assert refusal(path) == (
        f"{path}:2: storyboard: the file is not encoded as UTF-8. Save it as UTF-8 in your editor."
    )


def test_a_file_that_cannot_be_read_is_told_with_the_reason(tmp_path):
    path = tmp_path / ("a" * 300)
    assert refusal(path) == (
        f"{path}:1: storyboard: the file cannot be read (File name too long). Check that you may"
        " open it."
    )
