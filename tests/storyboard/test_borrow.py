import re

import pytest

from slidekit.errors import StoryboardError
from slidekit.evidence.dates.parse import Date
from slidekit.storyboard.marks import assign_marks
from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.places import Place
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.slides import ScanSlide
from tests.storyboard.boards import BOARD, spoiled, without_folder, write

MARKS = ("blue", "orange", "yellow", "pink")
LOOK = {"marks": MARKS, "windows": ("bone", "soft_tissue"), "style_name": "lecture-dark"}

BORROWER = """\
talk: {title: The urn for students, slot_min: 10}
borrow:
  full: ../full/talk.yaml
slides:
  - {id: opening, kind: title}
  - {kind: borrowed, origin: full, slide: coil}
"""


@pytest.fixture
def folder(tmp_path):
    write(tmp_path / "full", BOARD)
    return tmp_path


def borrow(folder, text: str = BORROWER):
    return read_storyboard(write(folder / "short", text))


def complaints(folder, text: str) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        borrow(folder, text)
    return without_folder(raised.value, folder)


def ask(slide: str, more: str = "") -> str:
    return spoiled("slide: coil}", f"slide: {slide}{more}}}", BORROWER)


def test_a_scan_slide_brings_views_regions_scans_and_the_dates_it_speaks_of(folder):
    board = borrow(folder).board
    assert isinstance(board.slides[1], ScanSlide)
    assert board.slides[1].say.startswith("Look at the base.")
    assert list(board.views) == ["base", "side"]
    assert list(board.regions) == ["coil", "wall"]
    assert list(board.scans) == ["urn"]
    assert list(board.chronology.periods) == ["late"]
    assert board.chronology.events == {}
    assert board.findings == {}


def test_a_scan_slide_brings_its_locators_insets_and_what_its_views_are_cut_around(folder):
    text = spoiled(
        "      - {view: side, regions: [wall]}",
        "      - {view: side, regions: [wall], locator: slice, inset: {region: plug}}",
    ).replace("side: {scan: urn,", "side: {crop_around: {region: coil}, scan: urn,")
    write(folder / "full", text)
    board = borrow(folder).board
    assert board.slides[1].views[1].inset.region == "plug"
    assert list(board.views) == ["base", "side", "slice"]
    assert list(board.regions) == ["coil", "wall", "plug"]


def test_scan_folders_stay_where_the_origin_has_them(folder):
    assert borrow(folder).board.scans["urn"].folder == str(folder / "full" / "ct")


def test_a_timeline_brings_the_whole_chronology(folder):
    chronology = borrow(folder, ask("time")).board.chronology
    assert list(chronology.periods) == ["late"]
    assert list(chronology.events) == ["burial"]


def test_a_findings_slide_brings_findings_and_what_they_rest_on(folder):
    board = borrow(folder, ask("closing")).board
    assert list(board.findings) == ["sealed"]
    assert list(board.regions) == ["coil"]
    assert list(board.views) == ["base"]
    assert list(board.chronology.periods) == ["late"]


def test_a_title_slide_brings_its_view(folder):
    text = spoiled("  - {id: opening, kind: title}\n", "", ask("opening"))
    assert list(borrow(folder, text).board.views) == ["base"]


def test_a_text_slide_brings_nothing_else(folder):
    board = borrow(folder, ask("words")).board
    assert board.slides[1].points == ("It is an urn", "It is heavy")
    assert board.views == {}
    assert board.chronology is None


def test_all_slides_may_be_borrowed(folder):
    ids = ("words", "diary", "coil", "time", "closing", "thanks")
    rows = "".join(f"  - {{kind: borrowed, origin: full, slide: {one}}}\n" for one in ids)
    source = borrow(folder, BORROWER.partition("slides:")[0] + "slides:\n" + rows)
    assert tuple(slide.id for slide in source.slides) == ids
    assert find_name_faults(source, **LOOK) == ()


def test_the_files_of_a_storyboard_are_its_own_and_its_lenders(folder):
    files = [path.resolve() for path in borrow(folder).files]
    assert files == [folder / "short" / "talk.yaml", folder / "full" / "talk.yaml"]


def test_the_borrower_may_change_title_section_words_and_captions(folder):
    changes = ", title: Wire, section: Metal, say: 'So. [show wall]', captions: {side: The wall}"
    slide = borrow(folder, ask("coil", changes)).board.slides[1]
    assert (slide.title, slide.section, slide.say) == ("Wire", "Metal", "So. [show wall]")
    assert [shown.caption for shown in slide.views] == ["Seen from below", "The wall"]


def test_the_borrower_may_say_what_becomes_of_a_slide_when_time_is_short(folder):
    assert borrow(folder, ask("coil", ", keep: may")).board.slides[1].keep == "may"


def test_a_borrowed_slide_needs_only_slides_that_are_here(folder):
    write(folder / "full", spoiled("  - id: coil\n", "  - id: coil\n    needs: [opening, words]\n"))
    assert borrow(folder).board.slides[1].needs == ("opening",)


def test_what_is_not_changed_stays_as_at_the_origin(folder):
    slide = borrow(folder).board.slides[1]
    assert slide.title == "A coil of wire"
    assert [shown.caption for shown in slide.views] == ["Seen from below", ""]


def test_changed_words_may_speak_of_the_borrowers_own_names(folder):
    text = ask("coil", ", say: 'In {early}. [show coil]'") + (
        "chronology:\n  periods: {early: {label: Early, start: 2000 BCE, end: 1600 BCE}}\n"
    )
    source = borrow(folder, text)
    assert list(source.board.chronology.periods) == ["early"]
    assert find_name_faults(source, **LOOK) == ()


def test_places_point_to_where_each_part_is_written(folder):
    source = borrow(folder, ask("coil", ", title: Wire, captions: {side: The wall}"))
    here, there = folder / "short" / "talk.yaml", folder / "short" / "../full/talk.yaml"
    assert source.places.find(("slides", 1)) == Place(here, 6)
    assert source.places.find(("slides", 1, "title")) == Place(here, 6)
    assert source.places.find(("slides", 1, "views", 1, "caption")) == Place(here, 6)
    assert source.places.find(("slides", 1, "views", 0, "caption")) == Place(there, 49)
    assert source.places.find(("slides", 1, "say")) == Place(there, 51, words_line=52)
    assert source.places.find(("regions", "coil", "radii_mm")) == Place(there, 19)
    assert source.places.find(("chronology", "periods", "late", "end")) == Place(there, 25)


def test_a_fault_of_borrowed_words_is_told_in_the_origins_file(folder):
    write(folder / "full", spoiled("{wall.length}", "{wall.lenght}"))
    (fault,) = find_name_faults(borrow(folder), **LOOK)
    assert (fault.file.resolve(), fault.line) == (folder / "full" / "talk.yaml", 55)


def test_a_fault_of_changed_words_is_told_in_the_borrowers_file(folder):
    source = borrow(folder, ask("coil", ", say: '[show plug]'"))
    (fault,) = find_name_faults(source, **LOOK)
    assert (fault.file, fault.line) == (folder / "short" / "talk.yaml", 6)


def test_human_remains_need_a_notice_in_the_borrowers_talk_too(folder):
    lent = spoiled("    folder: ct", "    folder: ct\n    human_remains: true")
    write(folder / "full", lent)
    (fault,) = find_name_faults(borrow(folder), **LOOK)
    assert str(fault) == (
        f"{folder}/short/talk.yaml:6: slides[1]: `base` shows human remains, and no notice comes"
        " before it. Add a slide of `kind: notice` before it."
    )


def test_a_borrowed_conclusion_asks_for_the_slides_it_rests_on(folder):
    (fault,) = find_name_faults(borrow(folder, ask("closing")), **LOOK)
    assert str(fault) == (
        f"{folder}/short/talk.yaml:6: slides[1]: no slide before shows coil, late, on which the"
        " finding `sealed` rests. Borrow slides that show it too, or write a findings slide of"
        " your own."
    )


def test_a_borrowed_region_keeps_its_mark(folder):
    # at the origin a third region of the view goes before, and is not borrowed
    spare = "  spare: {view: base, shape: point, at_mm: [0, 0], called: x}\n"
    write(folder / "full", spoiled("regions:\n  coil:", f"regions:\n{spare}  coil:"))
    own = (
        "views: {plain: {scan: pot, plane: axial, at_mm: 1, window: bone}}\n"
        "scans: {pot: {folder: pot, credit: x, rights: x}}\n"
        "regions: {dot: {view: plain, shape: point, at_mm: [0, 0], called: x}}\n"
    )
    source = borrow(folder, BORROWER + own)
    at_origin = assign_marks(read_storyboard(folder / "full" / "talk.yaml").board, MARKS)
    here = assign_marks(source.board, MARKS, source.origins)
    assert at_origin == {"spare": "blue", "coil": "orange", "wall": "blue", "plug": "blue"}
    assert here == {"dot": "blue", "coil": "orange", "wall": "blue"}


def test_a_mark_of_a_borrowed_region_gives_way_to_an_explicit_one(folder):
    own = (
        "panels:\n  p:\n    {size_mm: [420, 594], headline: x, body: [x], views:"
        " [{view: base, regions: [coil, dot]}]}\n"
        "regions: {dot: {view: base, shape: point, at_mm: [0, 0], called: x, color: blue}}\n"
    )
    source = borrow(folder, BORROWER + own)
    here = assign_marks(source.board, MARKS, source.origins)
    assert here == {"dot": "blue", "coil": "yellow", "wall": "orange"}


CHAIN = """\
talk: {title: The urn in five minutes, slot_min: 5}
borrow: {short: ../short/talk.yaml}
slides:
  - {kind: borrowed, origin: short, slide: coil, section: Metal}
"""


def test_a_borrowed_slide_may_be_borrowed_again(folder):
    spare = "  spare: {view: base, shape: point, at_mm: [0, 0], called: x}\n"
    write(folder / "full", spoiled("regions:\n  coil:", f"regions:\n{spare}  coil:"))
    borrow(folder, ask("coil", ", title: Wire"))
    source = read_storyboard(write(folder / "brief", CHAIN))
    slide = source.board.slides[0]
    assert (slide.title, slide.section) == ("Wire", "Metal")
    assert source.board.scans["urn"].folder == str(folder / "full" / "ct")
    assert assign_marks(source.board, MARKS, source.origins)["coil"] == "orange"
    assert [path.parent.name for path in source.files] == ["brief", "short", "full"]
    fields = (("section",), ("title",), ("views", 0))
    places = [source.places.find(("slides", 0, *field)) for field in fields]
    assert [place.file.parent.name for place in places] == ["brief", "short", "full"]


def test_what_two_storyboards_define_alike_is_one_thing(folder):
    credit = "'Scan by the town museum, 2025'"
    own = f"scans: {{urn: {{folder: ../full/ct, rights: CC BY 4.0, credit: {credit}}}}}\n"
    source = borrow(folder, BORROWER + own)
    assert source.places.find(("scans", "urn")) == Place(folder / "short" / "talk.yaml", 7)


def test_one_name_for_two_things_is_told_with_both_places(folder):
    text = BORROWER + "scans: {urn: {folder: ct, credit: x, rights: x}}\n"
    assert complaints(folder, text) == [
        "short/talk.yaml:7: scans.urn: is not the same in short/../full/talk.yaml:6, which the"
        " borrowed slide `coil` rests on. Rename one of the two, or make them alike."
    ]


def test_a_folder_seen_from_another_place_is_another_folder(folder):
    own = "scans: {urn: {folder: ct, credit: 'Scan by the town museum, 2025', rights: CC BY 4.0}}\n"
    (message,) = complaints(folder, BORROWER + own)
    assert message.startswith("short/talk.yaml:7: scans.urn: is not the same in short/../full")


def test_two_lenders_with_one_name_for_two_things_are_told(folder):
    write(folder / "other", spoiled("radii_mm: [14, 9]", "radii_mm: [14, 8]"))
    text = spoiled("borrow:\n", "borrow:\n  other: ../other/talk.yaml\n", BORROWER)
    text += "  - {kind: borrowed, origin: other, slide: closing}\n"
    messages = complaints(folder, text)
    assert messages[1] == (
        "short/talk.yaml:8: slides[2]: `coil`, which the borrowed slide `closing` rests on, is not"
        " the same in short/../full/talk.yaml:15 and in short/../other/talk.yaml:15. Rename one of"
        " the two, or make them alike."
    )
    assert "`urn`" in messages[0]  # its folder is another


def test_an_own_slide_and_a_borrowed_one_may_not_share_an_id(folder):
    text = spoiled("id: opening", "id: coil", BORROWER)
    assert complaints(folder, text) == [
        "short/talk.yaml:6: slides[1].slide: the slide id `coil` is used before, on line 5. Give"
        " each slide an id of its own."
    ]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "origin: full",
            "origin: fulls",
            "6: slides[1].origin: `fulls` is not a name in `borrow`. Write `full` if you mean"
            " that; it has full.",
        ),
        (
            "slide: coil",
            "slide: coils",
            "6: slides[1].slide: there is no slide `coils` in short/../full/talk.yaml. Write"
            " `coil` if you mean that; it has opening, words, diary, coil, time, closing, thanks.",
        ),
        (
            "slide: coil",
            "slide: xxxx",
            "6: slides[1].slide: there is no slide `xxxx` in short/../full/talk.yaml. Write one of"
            " opening, words, diary, coil, time, closing, thanks.",
        ),
        (
            "borrow:\n  full: ../full/talk.yaml\n",
            "",
            "4: slides[1].origin: `full` is not a name in `borrow`. Add `borrow:` with a name and"
            " the path of the other storyboard.",
        ),
        (
            "../full/talk.yaml",
            "../fool/talk.yaml",
            "3: borrow.full: there is no file short/../fool/talk.yaml. Write the path of the other"
            " storyboard, seen from this one.",
        ),
        (
            "slide: coil}",
            "slide: coil, captions: {base: x, basis: y}}",
            "6: slides[1].captions.basis: the borrowed slide does not show the view `basis`. Its"
            " views are base, side.",
        ),
        (
            "slide: coil}",
            "slide: words, captions: {base: x}}",
            "6: slides[1].captions.base: the borrowed slide does not show the view `base`. Remove"
            " the caption.",
        ),
    ],
)
def test_a_loan_that_cannot_be_had_is_told(folder, old, new, message):
    assert complaints(folder, spoiled(old, new, BORROWER)) == [f"short/talk.yaml:{message}"]


def test_faults_of_the_origin_are_told_in_its_file(folder):
    write(folder / "full", spoiled("slot_min: 20", "slot_min: 0"))
    assert complaints(folder, BORROWER) == [
        "short/../full/talk.yaml:3: talk.slot_min: `0` is too small. Write more than 0."
    ]


def test_a_circle_is_told_whole(folder):
    write(folder / "full", BOARD + "borrow: {brief: ../brief/talk.yaml}\n")
    write(folder / "brief", CHAIN)
    brief = "short/../full/../brief/talk.yaml"
    assert complaints(folder, BORROWER) == [
        f"{brief}:2: borrow.short: the storyboards borrow in a circle: short/talk.yaml,"
        f" short/../full/talk.yaml, {brief}, short/talk.yaml. Let one of them keep the slides, and"
        " the others borrow from it."
    ]


def test_a_storyboard_cannot_borrow_from_itself(folder):
    assert complaints(folder, spoiled("../full/talk.yaml", "talk.yaml", BORROWER)) == [
        "short/talk.yaml:3: borrow.full: the storyboards borrow in a circle: short/talk.yaml,"
        " short/talk.yaml. Let one of them keep the slides, and the others borrow from it."
    ]


def test_dates_are_written_in_the_borrowers_era(folder):
    text = ask("time") + "chronology: {era: BC/AD, events: {now: {label: Now, at: 2026}}}\n"
    chronology = borrow(folder, text).board.chronology
    assert chronology.era == "BC/AD"
    assert chronology.events["now"].at == Date(2026, 2026)
    assert list(chronology.events) == ["now", "burial"]


def test_two_lenders_with_two_eras_are_told(folder):
    other = BOARD.replace("chronology:\n", "chronology:\n  era: BC/AD\n")
    other = re.sub(r"\blate\b", "later", other)
    write(folder / "other", other)
    text = spoiled("borrow:\n", "borrow:\n  other: ../other/talk.yaml\n", ask("time"))
    text += "  - {kind: borrowed, origin: other, slide: closing}\n"
    assert complaints(folder, text) == [
        "short/talk.yaml:8: slides[2]: the dates of this slide are written in BC/AD, those of"
        " another in BCE/CE. Choose one of the two: add `chronology:` with `era:` to this"
        " storyboard."
    ]


def test_two_lenders_may_name_one_period_alike(folder):
    write(folder / "other", BOARD)
    text = spoiled("borrow:\n", "borrow:\n  other: ../other/talk.yaml\n", ask("time"))
    text += "  - {kind: borrowed, origin: other, slide: closing}\n"
    assert list(borrow(folder, text).board.chronology.periods) == ["late"]
