"""The zip file: ECMA-376 Part 2, and the same bytes every time."""

import zipfile

from slidekit.writers.deck_package import Part, Relationships, pack
from tests.writers.deck_samples import sample_pages, written


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


def test_the_same_link_is_kept_once_and_numbered_as_asked():
    links = Relationships()
    assert links.to("image", "/ppt/media/image1.png") == "rId1"
    assert links.to("slide", "/ppt/slides/slide2.xml") == "rId2"
    assert links.to("image", "/ppt/media/image1.png") == "rId1"
    assert [link.id for link in links.listed()] == ["rId1", "rId2"]


def test_targets_are_written_relative_to_their_part(tmp_path):
    links = Relationships()
    links.to("image", "/ppt/media/image1.png")
    path = tmp_path / "package.zip"
    roots = Relationships()
    roots.to("officeDocument", "/ppt/presentation.xml")
    path.write_bytes(pack([Part("/ppt/slides/slide1.xml", b"<x/>", "t", links.listed())], roots))
    with zipfile.ZipFile(path) as archive:
        assert b'Target="../media/image1.png"' in archive.read("ppt/slides/_rels/slide1.xml.rels")
        assert b'Target="ppt/presentation.xml"' in archive.read("_rels/.rels")
