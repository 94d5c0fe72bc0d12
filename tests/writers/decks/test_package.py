"""The zip file: ECMA-376 Part 2, and the same bytes every time."""

import posixpath
import zipfile

import lxml.etree

from slidekit.scene.model import Box, Paragraph, Picture, Run
from tests.writers.deck_samples import grey_pixels, page, part, sample_pages, text, written


def entries(path):
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return archive.infolist()


def test_the_list_of_content_types_comes_first(tmp_path):
    assert entries(written(tmp_path, sample_pages()))[0].filename == "[Content_Types].xml"


def test_no_date_and_no_machine_shows_in_the_entries(tmp_path):
    for entry in entries(written(tmp_path, sample_pages())):
        assert entry.date_time == (1980, 1, 1, 0, 0, 0)
        assert entry.create_system == 3
        assert entry.external_attr == 0o644 << 16


def test_pictures_are_stored_and_everything_else_is_deflated(tmp_path):
    for entry in entries(written(tmp_path, sample_pages())):
        stored = entry.filename.endswith(".png")
        assert entry.compress_type == (zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED)


def test_names_are_unique(tmp_path):
    names = [entry.filename for entry in entries(written(tmp_path, sample_pages()))]
    assert len(names) == len(set(names))


RELATIONSHIP = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"


def links_of(path):
    """Each .rels file's links: name to (id, kind, target) triples."""
    with zipfile.ZipFile(path) as archive:
        return {
            name: [
                (link.get("Id"), link.get("Type").rpartition("/")[2], link.get("Target"))
                for link in lxml.etree.fromstring(archive.read(name)).iter(RELATIONSHIP)
            ]
            for name in archive.namelist()
            if name.endswith(".rels")
        }


def test_the_same_picture_and_the_same_slide_are_linked_once(tmp_path):
    box = Box(10, 30, 20, 20)
    pictures = [Picture(box, grey_pixels(), "Grey", name) for name in ("One", "Two")]
    see = text((Paragraph((Run("See", link="two"), Run("and see", link="two"))),), box)
    path = written(tmp_path, [page("one", (*pictures, see)), page("two")])
    assert links_of(path)["ppt/slides/_rels/slide1.xml.rels"] == [
        ("rId1", "slideLayout", "../slideLayouts/slideLayout4.xml"),
        ("rId2", "image", "../media/image1.png"),
        ("rId3", "slide", "slide2.xml"),
    ]


def test_every_link_leads_from_its_part_to_another(tmp_path):
    """ECMA-376 Part 2: a target is a reference relative to the part that links."""
    path = written(tmp_path, sample_pages())
    names = {entry.filename for entry in entries(path)}
    for name, links in links_of(path).items():
        folder = posixpath.dirname(posixpath.dirname(name))
        assert posixpath.join(folder, posixpath.basename(name).removesuffix(".rels")) in {
            *names,
            "",
        }
        for _, _, target in links:
            assert posixpath.normpath(posixpath.join(folder, target)) in names


def test_every_part_is_linked_to_and_has_a_type(tmp_path):
    path = written(tmp_path, sample_pages())
    linked = {
        posixpath.normpath(posixpath.join(posixpath.dirname(posixpath.dirname(name)), target))
        for name, links in links_of(path).items()
        for _, _, target in links
    }
    parts = {
        entry.filename
        for entry in entries(path)
        if not entry.filename.endswith(".rels") and entry.filename != "[Content_Types].xml"
    }
    assert linked == parts
    types = part(path, "[Content_Types].xml")
    overridden = {node.get("PartName").removeprefix("/") for node in types.iter("{*}Override")}
    by_suffix = {node.get("Extension") for node in types.iter("{*}Default")}
    assert overridden == {name for name in parts if name.endswith(".xml")}
    assert by_suffix == {"rels", "xml", "png"}
