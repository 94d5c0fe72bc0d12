"""Each fault is planted in a good deck, one at a time, and must be named."""

import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import lxml.etree
import pptx
import pytest

from slidekit.checks.deck import lint_deck
from tests.writers.deck_samples import NS, sample_pages, written

FILL = "ppt/slides/slide3.xml"
PRESENTATION = "ppt/presentation.xml"


@pytest.fixture(scope="module")
def good(tmp_path_factory) -> Path:
    path = written(tmp_path_factory.mktemp("good"), sample_pages())
    assert lint_deck(path) == ()
    return path


def planted(good: Path, folder: Path, name: str, change: Callable[[Any], None]) -> Path:
    """A copy of the deck with one part changed."""
    path = folder / "bad.pptx"
    with zipfile.ZipFile(good) as source, zipfile.ZipFile(path, "w") as target:
        for entry in source.infolist():
            data = source.read(entry)
            if entry.filename == name:
                root = lxml.etree.fromstring(data)
                change(root)
                data = lxml.etree.tostring(root)
            target.writestr(entry, data)
    return path


def found(root, path: str):
    """The first element at `path`; the test itself is wrong without one."""
    element = root.find(path, NS)
    assert element is not None
    return element


def shape(root, name: str):
    """The cNvPr of the shape called `name`."""
    (properties,) = root.xpath(f".//p:cNvPr[@name='{name}']", namespaces=NS)
    return properties


def drop(element) -> None:
    element.getparent().remove(element)


def point_click_at(spid: str) -> Callable[[Any], None]:
    return lambda root: found(root, ".//p:spTgt").set("spid", spid)


def repeat_time_node(root) -> None:
    for node in root.findall(".//p:cTn", NS)[3:5]:
        node.set("id", "3")


def build_group(root) -> None:
    spid = shape(root, "Finding A").get("id")
    timing = found(root, "p:timing")
    builds = lxml.etree.SubElement(timing, f"{{{NS['p']}}}bldLst")
    lxml.etree.SubElement(builds, f"{{{NS['p']}}}bldP", spid=spid, grpId="0")


def repeat_shape_id(root) -> None:
    shape(root, "Slice").set("id", "2")
    point_click_at(shape(root, "Finding A").get("id"))(root)


def zero_shape_id(root) -> None:
    shape(root, "Slice").set("id", "0")


def empty_title(root) -> None:
    found(root, ".//p:sp//a:t").text = " "


def free_title(root) -> None:
    drop(found(root, ".//p:ph[@type='title']"))


def same_title(root) -> None:
    found(root, ".//p:sp//a:t").text = "Title of opening"


def mute(name: str) -> Callable[[Any], None]:
    def change(root) -> None:
        shape(root, name).attrib.pop("descr", None)
        for flag in list(shape(root, name)):
            drop(flag)

    return change


def forget_language(root) -> None:
    found(root, ".//p:sp//a:rPr").attrib.pop("lang")


def forget_run_properties(root) -> None:
    drop(found(root, ".//p:sp//a:rPr"))


def crop(root) -> None:
    found(root, ".//a:srcRect").set("t", "27100")


def move_off(root) -> None:
    found(root, ".//p:pic//a:off").set("x", str(12_192_000 - 1_000_000))


def move_group_off(root) -> None:
    """Only the group is moved: its parts follow, whatever their own numbers say."""
    group = shape(root, "Finding B").getparent().getparent()
    found(group, "p:grpSpPr/a:xfrm/a:off").set("y", "-400000")


def list_slide_twice(root) -> None:
    section = root.findall(".//{*}sldIdLst", NS)[-1]
    lxml.etree.SubElement(section, f"{{{NS['p14']}}}sldId", id="256")


def list_unknown_slide(root) -> None:
    section = root.findall(".//{*}sldIdLst", NS)[-1]
    lxml.etree.SubElement(section, f"{{{NS['p14']}}}sldId", id="999")


def unlist_section_slide(root) -> None:
    (entry,) = root.xpath(".//p14:sldId[@id='257']", namespaces=NS)
    drop(entry)


def unlist_notes_master(root) -> None:
    drop(found(root, "p:notesMasterIdLst"))


def add_description(root) -> None:
    tag = "{http://purl.org/dc/elements/1.1/}description"
    lxml.etree.SubElement(root, tag).text = "generated using python-pptx"


def other_modifier(root) -> None:
    found(root, "{*}lastModifiedBy").text = "Somebody"


def other_application(root) -> None:
    found(root, "{*}Application").text = "Something else"


FAULTS = [
    pytest.param(
        FILL, point_click_at("77"), "slide 3: a click acts on shape 77, which is not there."
    ),
    pytest.param(
        FILL,
        lambda root: found(root, ".//p:spTgt").set("spid", "7"),
        "slide 3: a click acts on 'Outline' (id 7) inside a group; only the whole group can"
        " appear.",
        id="target-inside-group",
    ),
    pytest.param(FILL, repeat_time_node, "slide 3: 3 time nodes (cTn) have the id 3."),
    pytest.param(
        FILL,
        build_group,
        "slide 3: a paragraph build (bldP) names shape 5, which is not a shape with text of its"
        " own.",
    ),
    pytest.param(FILL, repeat_shape_id, "slide 3: 2 shapes have the id 2."),
    pytest.param(FILL, zero_shape_id, "slide 3: a shape has the id 0; ids start at 1."),
    pytest.param(FILL, empty_title, "slide 3: the placeholder 'Title 2' (id 2) is empty."),
    pytest.param(FILL, empty_title, "slide 3 has no title."),
    pytest.param(FILL, free_title, "slide 3 has no title."),
    pytest.param(FILL, same_title, "slide 3 has the same title as slide 1: 'Title of opening'."),
    pytest.param(FILL, mute("Slice"), "slide 3: 'Slice' (id 3) has no alternative text (descr)."),
    pytest.param(FILL, mute("Colour"), "slide 3: 'Colour' (id 4) has no alternative text (descr)."),
    pytest.param(
        FILL, mute("Finding A"), "slide 3: 'Finding A' (id 5) has no alternative text (descr)."
    ),
    pytest.param(
        "ppt/slides/slide4.xml",
        mute("Rectangle 3"),
        "slide 4: 'Rectangle 3' (id 3) has no alternative text (descr).",
    ),
    pytest.param(
        FILL, forget_language, "slide 3: the words 'Title of fill' have no language (lang)."
    ),
    pytest.param(
        FILL, forget_run_properties, "slide 3: the words 'Title of fill' have no language (lang)."
    ),
    pytest.param(
        "ppt/notesSlides/notesSlide2.xml",  # the second with notes
        forget_language,
        "notes of slide 3: the words 'Look at the charcoal.' have no language (lang).",
    ),
    pytest.param(FILL, crop, "slide 3: the picture 'Slice' (id 3) is cropped."),
    pytest.param(FILL, move_off, "slide 3: 'Slice' (id 3) reaches off the slide."),
    pytest.param(FILL, move_group_off, "slide 3: 'Label 12' (id 12) reaches off the slide."),
    pytest.param(
        PRESENTATION,
        unlist_section_slide,
        "slide 2 is in no sections; it must be in exactly one.",
    ),
    pytest.param(
        PRESENTATION, list_slide_twice, "slide 1 is in 2 sections; it must be in exactly one."
    ),
    pytest.param(
        PRESENTATION, list_unknown_slide, "a section lists the slide id 999, which is not there."
    ),
    pytest.param(
        PRESENTATION,
        unlist_notes_master,
        "the notes master is not listed (notesMasterIdLst); some readers lose the notes.",
    ),
    pytest.param(
        "docProps/core.xml",
        add_description,
        "core.xml says description = 'generated using python-pptx', which nobody here wrote.",
    ),
    pytest.param(
        "docProps/core.xml",
        other_modifier,
        "core.xml says lastModifiedBy = 'Somebody', not the author.",
    ),
    pytest.param(
        "docProps/app.xml",
        other_application,
        "app.xml says Application = 'Something else', not 'slidekit'.",
    ),
]


@pytest.mark.parametrize(("name", "change", "complaint"), FAULTS)
def test_a_planted_fault_is_named(good, tmp_path, name, change, complaint):
    assert complaint in lint_deck(planted(good, tmp_path, name, change))


def test_a_shape_turned_off_the_slide_is_named(good, tmp_path):
    """140 mm wide and 12 mm high around y = 106 mm: upright it reaches from 36 to 176 mm, still
    on the slide; moved down by 20 mm it is not."""

    def upright(down_emu: int):
        def change(root) -> None:
            bar = next(node for node in root.iter("{*}sp") if "A plate" in list(node.itertext()))
            found(bar, ".//a:xfrm").set("rot", str(90 * 60_000))
            off = found(bar, ".//a:off")
            off.set("y", str(int(off.get("y")) + down_emu))

        return change

    assert lint_deck(planted(good, tmp_path, FILL, upright(0))) == ()
    (complaint,) = lint_deck(planted(good, tmp_path, FILL, upright(20 * 36_000)))
    assert re.fullmatch(r"slide 3: 'Caption \d+' \(id \d+\) reaches off the slide\.", complaint)


def test_a_turned_ellipse_counts_with_its_own_outline_not_its_frame(good, tmp_path):
    """Half axes 30 and 15 mm at 45 degrees reach sqrt(30² / 2 + 15² / 2) = 23.7 mm up from the
    centre, though the turned frame reaches 31.8 mm."""

    def raise_to(center_mm: float):
        def change(root) -> None:
            for name in ("Halo", "Outline"):
                for properties in root.xpath(f".//p:cNvPr[@name='{name}']", namespaces=NS)[:1]:
                    transform = found(properties.getparent().getparent(), ".//a:xfrm")
                    transform.set("rot", str(45 * 60_000))
                    found(transform, "a:off").set("y", str(round((center_mm - 15) * 36_000)))

        return change

    assert lint_deck(planted(good, tmp_path, FILL, raise_to(24.0))) == ()
    complaints = lint_deck(planted(good, tmp_path, FILL, raise_to(23.0)))
    assert complaints == (
        "slide 3: 'Halo' (id 6) reaches off the slide.",
        "slide 3: 'Outline' (id 7) reaches off the slide.",
    )


def test_the_deck_of_a_library_shows_its_leftovers(tmp_path):
    """python-pptx's own default template, with one slide of notes and an unfilled layout."""
    deck = pptx.Presentation()
    slide = deck.slides.add_slide(deck.slide_layouts[1])
    slide.notes_slide.notes_text_frame.text = "words"
    deck.save(str(tmp_path / "library.pptx"))
    complaints = lint_deck(tmp_path / "library.pptx")
    for expected in (
        "slide 1 has no title.",
        "slide 1: the placeholder 'Title 1' (id 2) is empty.",
        "notes of slide 1: the words 'words' have no language (lang).",
        "the notes master is not listed (notesMasterIdLst); some readers lose the notes.",
        "the package holds docProps/thumbnail.jpeg, a leftover of another program.",
        "core.xml says description = 'generated using python-pptx', which nobody here wrote.",
    ):
        assert expected in complaints


def test_a_file_that_is_no_deck_is_called_so(tmp_path):
    path = tmp_path / "words.pptx"
    path.write_text("words")
    assert lint_deck(path) == ("words.pptx is not a readable deck: File is not a zip file.",)


def test_a_zip_without_a_presentation_is_called_so(tmp_path):
    path = tmp_path / "empty.pptx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("readme.txt", "words")
    assert lint_deck(path) == (
        "empty.pptx is not a readable deck: it holds no ppt/presentation.xml.",
    )
