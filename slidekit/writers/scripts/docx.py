"""The script as a word-processing document (ECMA-376 WordprocessingML), to write on."""

import io
import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from slidekit.errors import LibraryError
from slidekit.scene.cautions import cautions
from slidekit.scene.clock.schedule import Passage, Schedule, Turn, balance, times_in_words
from slidekit.scene.lettering.bidi import reads_right_to_left
from slidekit.scene.model import Run
from slidekit.scene.paper.script_sheets import Thumbnail
from slidekit.scene.paper.sentences import sentences_of
from slidekit.storyboard.talk import Talk
from slidekit.writers.files import replacing

if TYPE_CHECKING:
    from docx.document import Document
    from docx.text.paragraph import Paragraph

WORDS_PT = 16
SMALL_PT = 9
THUMB_MM = 54
_AFTER_BIDI = ("w:adjustRightInd", "w:snapToGrid", "w:spacing", "w:ind", "w:jc", "w:outlineLvl")
_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the same talk gives the same bytes


def write_script_docx(talk: Talk, schedule: Schedule, thumbnail: Thumbnail, path: Path) -> None:
    """Each slide begins a page, no paragraph is parted.

    Raises
    ------
    LibraryError
        If the library that writes such documents is not installed.
    """
    try:
        import docx
    except ImportError:
        raise LibraryError(
            "the script cannot be written as a document: python-docx is not installed",
            "Install it with: pip install 'slidekit[docx]'; or leave this form out",
        ) from None
    document = docx.Document()
    _drop_second_styles(document)
    _describe(document, talk)
    document.add_heading(talk.title, level=0)
    _add_small(document, " · ".join(filter(None, (talk.speaker, talk.occasion))))
    _add_small(document, balance(schedule))
    for turn in schedule.turns:
        _add_turn(document, turn, schedule, thumbnail)
    for caution in cautions():
        _add_small(document, caution)
    packed = io.BytesIO()
    document.save(packed)
    with replacing(path) as beside:
        beside.write_bytes(_undated(packed.getvalue()))


def _drop_second_styles(document: "Document") -> None:
    """The library's template has a second set of styles that does not agree with the first."""
    for key, relation in list(document.part.rels.items()):
        if relation.reltype.endswith("/stylesWithEffects"):
            document.part.drop_rel(key)


def _describe(document: "Document", talk: Talk) -> None:
    from docx.shared import Mm

    facts = document.core_properties
    facts.title, facts.author, facts.language = talk.title, talk.speaker, talk.language
    facts.comments, facts.last_modified_by, facts.revision = "", "", 1
    facts.created = facts.modified = datetime(*_LONG_AGO[:6])
    if reads_right_to_left(talk.language):
        _run_to_the_left(document)
    section = document.sections[0]
    section.page_width, section.page_height = Mm(210), Mm(297)
    section.left_margin = section.right_margin = Mm(22)


def _run_to_the_left(document: "Document") -> None:
    """Every paragraph: ECMA-376 Part 1, 17.3.1.6."""
    from docx.oxml import OxmlElement

    properties = document.styles["Normal"].element.get_or_add_pPr()
    properties.insert_element_before(OxmlElement("w:bidi"), *_AFTER_BIDI)


def _add_turn(document: "Document", turn: Turn, schedule: Schedule, thumbnail: Thumbnail) -> None:
    heading = document.add_heading(f"{turn.number}. {turn.title}", level=1)
    heading.paragraph_format.page_break_before = True
    _add_small(document, times_in_words(turn, schedule))
    for sentence in turn.asides:
        _add_small(document, sentence)
    _add_picture(document, thumbnail(turn.number, 0), "")
    for passage in turn.passages:
        for cue in passage.cues:
            _add_picture(
                document, thumbnail(turn.number, cue.number), f"[{cue.number}] {cue.appears}"
            )
        _add_words(document, passage)


def _add_words(document: "Document", passage: Passage) -> None:
    from docx.shared import Pt, RGBColor

    paragraph = document.add_paragraph()
    paragraph.paragraph_format.keep_together = True
    for run in _runs(passage):
        added = paragraph.add_run(run.text)
        added.bold = run.bold
        added.font.size = Pt(WORDS_PT)
        if run.color:
            added.font.color.rgb = RGBColor.from_string(run.color.removeprefix("#"))


def _runs(passage: Passage) -> Iterator[Run]:
    for sentence in sentences_of(passage):
        yield from sentence.runs


def _add_picture(document: "Document", pixels: NDArray[np.uint8], below: str) -> None:
    from docx.shared import Mm

    png = io.BytesIO()
    Image.fromarray(pixels).save(png, "PNG", optimize=True)
    document.add_picture(png, width=Mm(THUMB_MM))
    document.paragraphs[-1].paragraph_format.keep_with_next = True
    if below:
        _add_small(document, below).paragraph_format.keep_with_next = True


def _add_small(document: "Document", text: str) -> "Paragraph":
    from docx.shared import Pt

    paragraph = document.add_paragraph()
    paragraph.add_run(text).font.size = Pt(SMALL_PT)
    return paragraph


def _undated(packed: bytes) -> bytes:
    """The same package with its parts in one order and without the time of writing."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(packed)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(zipfile.ZipInfo(name, _LONG_AGO), old.read(name), zipfile.ZIP_DEFLATED)
    return out.getvalue()
