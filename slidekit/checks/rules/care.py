"""Rules about honesty and care: names, credit, the dead, and what the audience can take in."""

import re

from slidekit.checks.grounds import placed_texts
from slidekit.checks.heard import Heard, mentions
from slidekit.checks.reading import FORMULAS, Audience, Formula, count_text
from slidekit.checks.rules.rule import Complaint, Findings, Rule, Unchecked
from slidekit.checks.written import all_words, fields_of, sentences
from slidekit.scene.cautions import no_name
from slidekit.storyboard.measured import VALUE_PARTS
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import ScanSlide
from slidekit.storyboard.words import parse_words


def find_burned_in(heard: Heard) -> Findings:
    """A scan that has, or may have, text in its pixels, or a view that draws overlays.

    Why: what may show a patient's name inside the picture cannot be left out with the attributes.

    Instead: look at the picture, crop the text away with `crop_mm`, or take another series. If
    there is no name in it, say so in `waive`.

    Source: DICOM PS3.3 C.7.6.1.1.5 (Burned In Annotation); PS3.15 E.3.1 (Clean Pixel Data).
    """
    for name, series in heard.series.items():
        if series.burned_in_text:
            text = f"scan `{name}` has, or may have, text in its pixels: look for names"
            yield Complaint(("scans", name), f"{text} before showing it", name)
    for name, sight in heard.sights.views.items():
        if sight.view.overlays and name in heard.source.board.views:
            text = f"view `{name}` draws what its files carry as overlays: look for names"
            yield Complaint(("views", name, "overlays"), f"{text} before showing it", name)


_IDENTIFIER = re.compile(
    r"\b(?:MRN|DOB|date of birth|patient(?:'s)? (?:id|number|no\.?)|hospital number"
    r"|accession number|NHS number|insurance number)\b[\s:#.]*(?:\w{0,3}[\s-]?)?\d[\w./-]+",
    re.I,
)
_UID = re.compile(r"(?<![\w.])[0-2](?:\.\d+){5,}(?![\w.])")


def find_identifiers(heard: Heard) -> Findings:
    """What may identify a patient, typed into words or print.

    Why: a deck is copied, filmed and handed on. Looked for are numbers and dates behind words such
    as "MRN", "date of birth" or "patient ID", and the UIDs of images.

    Instead: leave it out; an age in years or decades says enough.

    Source: DICOM PS3.15 Annex E, Table E.1-1 (attributes to remove); PS3.5 9.1 (UIDs).
    """
    for path, text in all_words(heard):
        for sentence in sentences(text):
            for found in (*_IDENTIFIER.finditer(sentence.typed), *_UID.finditer(sentence.typed)):
                wrong = f"“{found[0]}” may identify a patient: leave it out"
                yield Complaint(path, wrong, before=sentence.before)


_PERSON = "man|woman|child|person|infant|girl|boy|human"
_REMAINS = re.compile(
    rf"\bhuman (?:remains|bones?|skulls?|skeletons?|tissue|teeth)\b"
    rf"|\b(?:skeleton|skull|mummy|body|bones|remains|cremation) of an? (?:\w+ )?(?:{_PERSON})\b"
    rf"|\b(?:mummified|cremated|dead|buried) (?:{_PERSON})\b",
    re.I,
)


def find_unmarked_remains(heard: Heard) -> Findings:
    """Words about human remains on a slide none of whose scans is marked `human_remains`.

    Why: then nothing makes sure that a notice comes before them, and the codes for human remains
    stand nowhere. Only words that can mean nothing else are looked for: "human bone", "the skeleton
    of a woman".

    Instead: write `human_remains: true` on the scan, and a `notice` slide before it.

    Source: ICOM Code of Ethics for Museums, 4.3.
    """
    board = heard.source.board
    for path, told in heard.slides:
        views = told.slide.views if isinstance(told.slide, ScanSlide) else ()
        scans = {board.views[shown.view].scan for shown in views}
        if not scans or any(board.scans[name].human_remains for name in scans):
            continue
        for field, text in fields_of(heard, path, told.slide):
            if found := _REMAINS.search(text):
                wrong = f"“{found[0]}” is on the slide, and no scan on it has `human_remains: true`"
                yield Complaint(field, wrong, before=text[: found.start()])
                break


def find_missing_caution(heard: Heard) -> Findings:
    """CT numbers that are spoken in a talk which nowhere says that they name no substance.

    Why: who hears "20 HU, so it is resin" will say so elsewhere. Slides with a table, values or a
    profile say it, and so does a `credits` slide.

    Instead: add a `credits` slide, or show the values in a `table`.

    Source: common practice: beam hardening, partial volume and packing shift CT numbers.
    """
    pages = (text.text.plain for told in heard.told for text in placed_texts(told.page))
    if any(no_name().rstrip(".") in " ".join(page.split()) for page in pages):
        return
    for path, told in heard.slides:
        for name, part in mentions(parse_words(told.slide.say)):
            region = heard.sights.regions.get(name)
            unit = getattr(region.measure, "unit", "") if region is not None else ""
            if unit == "HU" and part in VALUE_PARTS:
                text = f"{{{name}.{part}}} is spoken, and no slide says: {no_name().rstrip('.')}"
                yield Complaint((*path, "say"), text, name)
                return


LEAST_WORDS = 100
"""Below so many words the formulas say little."""


def find_hard_words(heard: Heard) -> Findings:
    """Words that are hard to follow for the audience named in `talk`.

    Why: listeners cannot go back to the beginning of a sentence. Looked at are all spoken words
    together, and the text of each panel, if they are a hundred words or more. By Flesch's table 60
    to 70 is standard, 50 to 60 fairly difficult, 30 to 50 difficult: 50 is asked for a general
    audience and on panels, 30 for students, nothing for specialists.

    Instead: shorter sentences, and common words for long ones.

    Source: Flesch 1948 for English, Amstad 1978 for German, Szigriszt 1993 for Spanish, Gulpease
    1988 for Italian; no other language is looked at.
    """
    talk = heard.source.board.talk
    formula = FORMULAS.get(talk.language.partition("-")[0].lower())
    if formula is None:
        yield Unchecked(f"no formula is known here for the language `{talk.language}`")
        return
    spoken = "\n\n".join(told.speech.text for told in heard.told)
    yield from _hardness(("slides",), spoken, formula, talk.audience)
    for name, panel in heard.source.board.panels.items():
        path: FieldPath = ("panels", name, "body")
        yield from _hardness(path, "\n\n".join(panel.body), formula, "general")


def _hardness(path: FieldPath, text: str, formula: Formula, audience: Audience) -> Findings:
    counts, least = count_text(text, formula.syllables_in), formula.least.get(audience)
    if least is None or counts.words < LEAST_WORDS or formula.ease(counts) >= least:
        return
    yield Complaint(
        path,
        f"reading ease {formula.ease(counts):.0f} by {formula.source}, and {least:g} is asked for:"
        f" {counts.words / counts.sentences:.0f} words in a sentence,"
        f" {counts.syllables / counts.words:.1f} syllables in a word",
    )


def find_idle_waivers(heard: Heard) -> Findings:
    """A waiver that meets nothing.

    Why: it was written for something that has since been mended, or its rule, slide or name is
    misspelt. Left there, it would hide the next fault of its kind.

    Instead: remove it, or write the rule, slide and name as `slidekit check` prints them.

    Source: common practice.
    """
    for i in heard.idle_waivers:
        waiver = heard.source.board.waive[i]
        where = f" on slide `{waiver.slide}`" if waiver.slide else ""
        about = f" about `{waiver.name}`" if waiver.name else ""
        text = f"rule `{waiver.rule}` has nothing to say{where}{about}: remove this waiver"
        yield Complaint(("waive", i), text)


WAIVER = Rule("waiver", "note", find_idle_waivers)
"""Looked at once the others have spoken."""

RULES = (
    Rule("burned-in", "error", find_burned_in),
    Rule("identifier", "error", find_identifiers),
    Rule("unmarked-remains", "error", find_unmarked_remains, english_only=True),
    Rule("caution", "warning", find_missing_caution),
    Rule("reading-ease", "warning", find_hard_words),
    WAIVER,
)
