"""Fonts as a style writes them."""

import shutil
from pathlib import Path

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.ttLib import TTCollection, TTFont

from slidekit.errors import StyleError
from slidekit.scene.lettering import files as font_files
from slidekit.scene.lettering.files import FontFile, find_installed, read_fonts
from slidekit.scene.lettering.named import families_of
from slidekit.scene.style import Style, load_style
from tests.language_talks import FONTS

REGULAR, BOLD = FONTS / "NotoSansJP-Regular.ttf", FONTS / "NotoSansJP-Bold.ttf"


def style(folder: Path, fonts: str) -> Style:
    (folder / "own.yaml").write_text(f"like: lecture-dark\nfonts:\n{fonts}", encoding="utf-8")
    return load_style("own.yaml", folder)


@pytest.fixture
def folder(tmp_path) -> Path:
    shutil.copy(REGULAR, tmp_path / "R.ttf")
    shutil.copy(BOLD, tmp_path / "B.ttf")
    return tmp_path


def test_paths_are_seen_from_the_file_that_names_them(folder):
    (folder / "sub").mkdir()
    style(folder, "  {family: Noto Sans JP, regular: R.ttf, bold: B.ttf}\n")
    (folder / "sub" / "two.yaml").write_text("like: ../own.yaml\nmark_line_pt: 2\n")
    loaded = load_style("sub/two.yaml", folder)
    [family] = families_of(loaded.fonts)
    assert family.name == "Noto Sans JP"
    assert family.regular.path.resolve() == (folder / "R.ttf").resolve()


def test_several_families_are_a_list(folder):
    one, other = (f"  - {{family: {x}, regular: R.ttf, bold: B.ttf}}\n" for x in "AB")
    assert [one.name for one in families_of(style(folder, one + other).fonts)] == ["A", "B"]


@pytest.mark.parametrize(
    ("fonts", "told"),
    [
        (
            "  family: Its Name\n  regular: R.ttf\n",
            r"own\.yaml:2: fonts\.bold: Its Name has no bold file\. Add a line such as bold: "
            r"fonts/ItsName-Bold\.ttf; a family of one weight has the same file twice\.$",
        ),
        (
            "  family: Its Name\n  regular: R.ttf\n  bold: none.ttf\n",
            r"own\.yaml:5: fonts\.bold: there is no file .*none\.ttf\. Write a path from the "
            r"style's folder\.$",
        ),
        (
            "  family: Its Name\n  regular: R.ttf\n  bold: own.yaml\n",
            r"own\.yaml:5: fonts\.bold: .*own\.yaml cannot be read as a font: it is not a TrueType"
            r" or OpenType font\. Name a \.ttf, \.otf or \.ttc file\.$",
        ),
        (
            "  family: Nowhere Sans\n",
            r"own\.yaml:3: fonts\.family: no regular and no bold font file of 'Nowhere Sans' is "
            r"installed \(.*; variable fonts are not counted\)\. Install the family, or name its "
            r"files: regular: FILE\.ttf, bold: FILE\.ttf\.$",
        ),
    ],
)
def test_what_is_wrong_is_told_with_what_to_write(folder, monkeypatch, fonts, told):
    monkeypatch.setattr(font_files, "font_folders", lambda: (folder / "none",))
    with pytest.raises(StyleError, match=told):
        style(folder, fonts)


def test_a_font_that_forbids_embedding_is_refused(folder):
    font = TTFont(REGULAR)
    font["OS/2"].fsType = 2  # ISO/IEC 14496-22, OS/2: Restricted License embedding
    font.save(folder / "R.ttf")
    with pytest.raises(StyleError, match=r"may not be embedded in documents"):
        style(folder, "  {family: A, regular: R.ttf, bold: B.ttf}\n")


def test_a_variable_font_is_refused_with_how_to_make_static_ones(folder):
    builder = FontBuilder(font=TTFont(REGULAR))
    builder.setupFvar([("wght", 100, 400, 900, "Weight")], [])
    builder.save(folder / "V.ttf")
    with pytest.raises(StyleError, match=r"fonttools varLib\.instancer V\.ttf wght=700\.$"):
        style(folder, "  {family: A, regular: V.ttf, bold: B.ttf}\n")


def test_an_installed_family_is_found_by_its_name_in_files_and_collections(folder, monkeypatch):
    collection = TTCollection()
    collection.fonts = [TTFont(FONTS / "NotoSansArabic-Bold.ttf"), TTFont(BOLD)]
    (folder / "deep").mkdir()
    collection.save(folder / "deep" / "all.ttc")
    (folder / "B.ttf").unlink()
    (folder / "broken.ttf").write_bytes(b"\0\1\0\0")
    monkeypatch.setattr(font_files, "font_folders", lambda: (folder,))
    found = find_installed("noto sans jp")
    assert found == {
        "Regular": FontFile(folder / "R.ttf"),
        "Bold": FontFile(folder / "deep" / "all.ttc", 1),
    }


def test_what_a_file_says_of_itself_is_what_another_reader_reads():
    [(_, facts)] = read_fonts(BOLD)
    font = TTFont(BOLD)
    assert font["name"].getDebugName(1) in facts.families
    assert (facts.face, facts.variable, facts.embeddable) == ("Bold", False, True)
    assert font["OS/2"].usWeightClass == 700


@pytest.mark.parametrize("end", [3, 11, 40, 300])
def test_a_file_that_is_cut_off_is_told(tmp_path, end):
    (tmp_path / "cut.ttf").write_bytes(REGULAR.read_bytes()[:end])
    with pytest.raises(ValueError, match=r"^it (is cut off|is not a TrueType or OpenType font)$"):
        list(read_fonts(tmp_path / "cut.ttf"))


def test_no_style_that_is_shipped_names_fonts():
    assert load_style("lecture-dark").fonts == ()
