"""Rules about terms that need an explanation."""

import re

from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.storyboard.glossary import Audience, Term
from slidekit.storyboard.glossing import (
    glossed_panel,
    known_text,
    needed_by,
    pattern_of,
    texts_on,
)
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import CreditsSlide

_SMALL_PRINT = ("data", "footer", "page_number")
_BRACKETED = re.compile(r"\{[^{}]*\}|\[[^\[\]]*\]")
_NEAR = 60  # letters, within which plain words follow a term that is spoken
_AUDIENCES = {"general": "a general audience", "student": "students", "specialist": "specialists"}


def find_unexplained_terms(heard: Heard) -> Findings:
    """A term of the glossary that the audience meets before it is explained.

    Why: who has to guess a word does not hear the rest of the sentence.

    Instead: write {NAME.term}, which is explained where it is first met, or use a plain word.

    Source: common practice of plain language; a talk has no page to turn back to.
    """
    board = heard.source.board
    waiting = needed_by(board.talk.audience, board, heard.source.explained)
    for path, told in heard.slides:
        if isinstance(told.slide, CreditsSlide):
            continue
        texts = (text for text in told.page.texts if text.role not in _SMALL_PRINT)
        page, words = "\n".join(text.plain for text in texts), told.speech.text
        for name in sorted(waiting):
            term = board.glossary[name]
            plain = term.plain.words_for(board.talk.audience)
            on_page = pattern_of(term).search(page)
            found = on_page or pattern_of(term).search(words)
            if found is None:
                continue
            waiting.remove(name)
            near = words[found.end() : found.end() + len(plain) + _NEAR]
            if not _is_told(plain, f"{page}\n{words}" if on_page else near):
                where = path if on_page else (*path, "say")
                text = _unexplained(name, term, found[0], board.talk.audience)
                yield Complaint(where, text, name, _before(heard, path, term, on_page))
    for name, panel in board.panels.items():
        yield from _unexplained_on_panel(("panels", name), panel, board)


def _is_told(plain: str, text: str) -> bool:
    """Whether a text holds the plain words, whatever stands between them and sets them off."""
    return f" {_bare(plain)} " in f" {_bare(text)} "


def _bare(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


def _unexplained(name: str, term: Term, found: str, audience: Audience) -> str:
    forms = ((part, form) for part, form in term.forms.items() if part)
    said = found.casefold()
    part = next((part for part, form in forms if form.casefold() == said), "term")
    return (
        f"“{found}” is met here first, and nothing explains it to {_AUDIENCES[audience]}: write"
        f" {{{name}.{part}}}"
    )


def _before(heard: Heard, path: FieldPath, term: Term, on_page: re.Match[str] | None) -> str | None:
    """What the author wrote before the term in the words of a slide."""
    if on_page:
        return None
    say = heard.source.slides[int(path[-1])].say
    found = pattern_of(term).search(_BRACKETED.sub(lambda one: " " * len(one[0]), say))
    return say[: found.start()] if found else None


def _unexplained_on_panel(path: FieldPath, panel: Panel, board: Storyboard) -> Findings:
    text = known_text(texts_on(*glossed_panel(panel, board)), board.glossary)
    for name in sorted(needed_by(panel.audience, board)):
        term = board.glossary[name]
        plain = term.plain.words_for(panel.audience)
        found = pattern_of(term).search(text)
        if found is not None and not _is_told(plain, text):
            yield Complaint(path, _unexplained(name, term, found[0], panel.audience), name)


RULES = (Rule("unexplained-term", "warning", find_unexplained_terms),)
