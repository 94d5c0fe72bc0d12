"""What goes to the lectern and to the audience, through whole runs."""

import pikepdf
import pypdf
import pytest
import webvtt
from typer.testing import CliRunner

from slidekit.build import Options
from slidekit.cli import app
from slidekit.errors import WriteError
from slidekit.lectern import WRITERS, write_forms, write_handout
from tests.scans.dicom_series import Attributes
from tests.talks import TALK, no_progress, write_block, write_talk

CANARY = "Zzyzx"


@pytest.fixture(scope="module")
def talk(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    return write_talk(folder, TALK.replace("  slot_min: 2", "  slot_min: 2\n  language: en-GB"))


@pytest.fixture(scope="module")
def forms(talk):
    out = talk.parent / "forms"
    write_forms(talk, out, tuple(WRITERS), Options(draft=True), no_progress)
    return out


@pytest.fixture(scope="module")
def handout(talk):
    return write_handout(talk, talk.parent / "handout.pdf", 2, "words", Options(), no_progress)


def test_a_handout_is_called_a_pdf(tmp_path, talk):
    out = tmp_path / "handout.docx"
    with pytest.raises(
        WriteError,
        match=rf"^a handout is a PDF, and {out} is not called so. Let it end with .pdf.$",
    ):
        write_handout(talk, out, 2, "words", Options(), no_progress)
    assert not out.exists()


def test_every_form_is_written(forms):
    assert sorted(path.name for path in forms.iterdir()) == [
        "captions.srt",
        "captions.vtt",
        "cues.pdf",
        "prompter.html",
        "script.docx",
        "script.html",
        "script.pdf",
    ]


@pytest.mark.parametrize("name", ["script.pdf", "cues.pdf", "handout.pdf"])
def test_every_font_in_use_is_embedded_as_two_libraries_see_it(forms, handout, name):
    # ISO 32000-1 9.9: an embedded TrueType program stands in FontFile2 of the descriptor
    path = handout if name == "handout.pdf" else forms / name
    embedded, seen = set(), set()
    with pikepdf.open(path) as pdf:
        for page in pdf.pages:
            for font in page.Resources.get("/Font", {}).values():
                for one in font.get("/DescendantFonts", [font]):
                    assert one.FontDescriptor.FontFile2.read_bytes()[:4] == b"\x00\x01\x00\x00"
                    embedded.add(str(one.BaseFont).partition("+")[2])
    for page in pypdf.PdfReader(path).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            seen.add(str(font.get_object()["/BaseFont"]).partition("+")[2])
    assert embedded == seen != set()


@pytest.mark.parametrize(
    ("name", "title"),
    [("script.pdf", "Script"), ("cues.pdf", "Clicks"), ("handout.pdf", "Handout")],
)
def test_a_pdf_says_what_it_is_and_in_which_language(forms, handout, name, title):
    with pikepdf.open(handout if name == "handout.pdf" else forms / name) as pdf:
        assert pdf.Root.Lang == "en-GB"
        assert str(pdf.docinfo["/Title"]) == f"{title}: What the block holds"


def test_the_handout_holds_the_words_and_closes_with_cautions(handout):
    pages = [page.extract_text() for page in pypdf.PdfReader(handout).pages]
    assert "Good evening." in pages[0]
    assert "CC0 1.0" in pages[-1]
    assert "not for diagnosis" in " ".join(pages[-1].split())


def test_captions_hold_every_word_once(forms):
    said = " ".join(cue.text for cue in webvtt.read(str(forms / "captions.vtt"))).split()
    assert said[:2] == ["Good", "evening."]
    assert said.count("coil.") == 1


def test_the_same_talk_gives_the_same_bytes(talk, forms, tmp_path):
    write_forms(talk, tmp_path, tuple(WRITERS), Options(draft=True), no_progress)
    for path in forms.iterdir():
        assert path.read_bytes() == (tmp_path / path.name).read_bytes(), path.name


def test_nothing_of_the_patient_reaches_any_form(tmp_path):
    names = ("PatientName", "PatientID", "InstitutionName", "OperatorsName", "SeriesDescription")
    attributes = Attributes(every=dict.fromkeys(names, CANARY))
    write_talk(tmp_path)
    write_block(tmp_path / "block", attributes)
    out = tmp_path / "out"
    write_forms(tmp_path / "talk.yaml", out, tuple(WRITERS), Options(draft=True), no_progress)
    for path in out.iterdir():
        assert CANARY.encode() not in path.read_bytes()


def test_all_forms_but_the_document_are_written_unless_some_are_asked_for(talk, tmp_path):
    result = CliRunner().invoke(app, ["script", str(talk), "--out", str(tmp_path / "a")])
    assert result.exit_code == 0
    assert "script.docx" not in result.output
    result = CliRunner().invoke(
        app, ["script", str(talk), "--out", str(tmp_path / "b"), "--form", "captions"]
    )
    assert sorted(path.name for path in (tmp_path / "b").iterdir()) == [
        "captions.srt",
        "captions.vtt",
    ]


def test_words_that_do_not_fit_a_handout_are_told_and_nothing_is_written(tmp_path):
    path = write_talk(tmp_path, TALK.replace("Good evening.", "Good evening. " * 400))
    result = CliRunner().invoke(app, ["handout", str(path), "--out", str(tmp_path / "h.pdf")])
    assert result.exit_code == 2
    assert "the words of slide `opening` do not fit beside it" in result.output
    assert not (tmp_path / "h.pdf").exists()
