"""Terms explained where the audience first meets them.

A talk is met slide by slide, and on each slide what is printed before what is said: people read a
new slide before they listen again. Printed texts come in the order of the slide's fields, the
title first; findings and stages come after them. A panel stands by itself.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeAlias

from slidekit.storyboard.account import Account
from slidekit.storyboard.glossary import Audience, Term
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.parts import Part
from slidekit.storyboard.printed import PLACEHOLDER, with_texts
from slidekit.storyboard.slides import CompareSlide, FindingsSlide, OwnSlide, ScanSlide
from slidekit.storyboard.words import NAME, PART
from slidekit.wording import has_words, phrase

Glossary: TypeAlias = Mapping[str, Term]

Explained: TypeAlias = frozenset[str]
"""Terms in small letters that an audience has had explained, in talks before this one."""
NOTHING: Explained = frozenset()

_OFF_SLIDE = ("section", "summary")  # printed of a slide, and not on it
_IN_WORDS = re.compile(rf"\{{\{{|\}}\}}|\{{\s*({NAME})(?:\.({PART}))?\s*\}}")
_CLICK = re.compile(r"\[[^\[\]]*\]")
_NO_COMMA = re.compile(r"\s*(?:\[[^\[\]]*\]\s*)*(?:[.,;:!?)…]|$)|[^\S\n]*\n[^\S\n]*\n")


def glossed_slides(
    slides: Mapping[int, OwnSlide], board: Storyboard, explained: Explained = NOTHING
) -> tuple[dict[int, OwnSlide], Storyboard]:
    """Slides of one talk, in order, and the board with what they print of it.

    Behind the first `{ply.term}` of each term stand the plain words for the talk's audience, if it
    has any, and if they are not among those that it has heard before.
    """
    reader = _Reader(board.glossary, board.talk.audience, board.talk.language, explained)
    return _read(slides, board, reader)


def explained_by(slides: Sequence[OwnSlide], board: Storyboard) -> Explained:
    """The terms that a talk of these slides explains to its audience."""
    reader = _Reader(board.glossary, board.talk.audience, board.talk.language)
    _read(dict(enumerate(slides)), board, reader)
    return frozenset(board.glossary[name].term.casefold() for name in reader.glossed)


def needed_by(audience: Audience, board: Storyboard, explained: Explained = NOTHING) -> set[str]:
    """The terms that have plain words for an audience, but for those it has heard before."""
    return {
        name
        for name, term in board.glossary.items()
        if term.plain.words_for(audience) and term.term.casefold() not in explained
    }


def _read(
    slides: Mapping[int, OwnSlide], board: Storyboard, reader: "_Reader"
) -> tuple[dict[int, OwnSlide], Storyboard]:
    findings, account = dict(board.findings), board.account
    glossed: dict[int, OwnSlide] = {}
    for at, slide in slides.items():
        seen = with_texts(slide, reader.printed, leave=_OFF_SLIDE)
        if isinstance(slide, FindingsSlide):
            shown = {name: with_texts(findings[name], reader.printed) for name in slide.findings}
            findings.update(shown)
        if isinstance(slide, CompareSlide):
            account = reader.account(account, slide.stages)
        glossed[at] = seen.model_copy(update={"say": reader.spoken(slide.say)})
    return glossed, board.model_copy(update={"findings": findings, "account": account})


def glossed_panel(panel: Panel, board: Storyboard) -> tuple[Panel, Storyboard]:
    """The panel, and the board with what it prints of it: plain words for the panel's audience
    stand behind the first of each term."""
    reader = _Reader(board.glossary, panel.audience, board.talk.language)
    seen = with_texts(panel, reader.printed)
    account = reader.account(board.account, panel.stages) if panel.stages else board.account
    return seen, board.model_copy(update={"account": account})


@dataclass
class _Reader:
    """One who reads and hears a talk from its beginning."""

    glossary: Glossary
    audience: Audience
    language: str
    explained: Explained = NOTHING
    told: set[str] = field(default_factory=set)
    glossed: list[str] = field(default_factory=list)

    def printed(self, text: str) -> str:
        """A printed text: "ply (one layer of cloth)", "plies (ply: one layer of cloth)"."""

        def with_gloss(found: re.Match[str]) -> str:
            gloss = self._first_met(found[1], found[2] or "")
            if gloss is None:
                return found[0]
            return f"{found[0]} ({gloss.printed})"

        return PLACEHOLDER.sub(with_gloss, text)

    def spoken(self, say: str) -> str:
        """The words of a slide: "ply, that is one layer of cloth, lies", "plies, ply meaning one
        layer of cloth, lie"."""

        def with_gloss(found: re.Match[str]) -> str:
            gloss = self._first_met(found[1], found[2] or "")
            if gloss is None:
                return found[0]
            aside, closing = gloss.spoken(self.language)
            ends = _NO_COMMA.match(found.string, found.end())
            return f"{found[0]}{_literal(aside)}{'' if ends else closing}"

        return _IN_WORDS.sub(with_gloss, say)

    def account(self, account: Account | None, chosen: Sequence[str]) -> Account | None:
        """The chosen stages of an account, all if none is, as they are printed."""
        if account is None:
            return None
        stages = {
            name: with_texts(stage, self.printed) if name in (chosen or account.stages) else stage
            for name, stage in account.stages.items()
        }
        return account.model_copy(update={"stages": stages})

    def _first_met(self, name: str | None, part: str) -> "_Gloss | None":
        """What explains `{name.part}`; None unless it is a term, met for the first time, for which
        the audience has plain words."""
        term = self.glossary.get(name or "")
        if name is None or term is None or name in self.told:
            return None
        self.told.add(name)
        plain = term.plain.words_for(self.audience)
        if part == "plain" or not plain or term.term.casefold() in self.explained:
            return None
        self.glossed.append(name)
        return _Gloss(plain, "" if part in ("", "term") else term.term)


@dataclass(frozen=True)
class _Gloss:
    """Plain words, and the term itself where another form of it is met."""

    plain: str
    of: str

    @property
    def printed(self) -> str:
        """ "one layer of cloth", "ply: one layer of cloth"."""
        return f"{self.of}: {self.plain}" if self.of else self.plain

    def spoken(self, language: str) -> tuple[str, str]:
        """The aside, and what closes it where the sentence goes on: dashes, which need no
        translation, in languages that slidekit does not speak."""
        if not has_words(language):
            return f" \N{EN DASH} {self.printed}", " \N{EN DASH}"
        if self.of:
            return phrase(", {term} meaning {plain}", term=self.of, plain=self.plain), ","
        return phrase(", that is {plain}", plain=self.plain), ","


def _literal(text: str) -> str:
    """The text with brackets that mean nothing in spoken words."""
    return re.sub(r"[\[\]{}]", lambda found: found[0] * 2, text)


def first_uses(slides: Sequence[OwnSlide], board: Storyboard) -> dict[str, tuple[int, str]]:
    """For each term that a talk of these slides uses, in any form, the number and the id of the
    first slide that prints, marks or says it."""
    found: dict[str, tuple[int, str]] = {}
    for number, slide in enumerate(slides, start=1):
        for name in terms_in(texts_on(slide, board), board.glossary):
            found.setdefault(name, (number, slide.id))
    return found


def texts_on(page: OwnSlide | Panel, board: Storyboard) -> Iterator[str]:
    """What a slide or panel prints, marks and says, placeholders and all."""
    yield from _texts_of(page)
    if isinstance(page, FindingsSlide):
        for name in page.findings:
            yield from _texts_of(board.findings[name])
    if isinstance(page, CompareSlide | Panel) and board.account is not None:
        named = page.stages or (board.account.stages if isinstance(page, CompareSlide) else ())
        for name in named:
            yield from _texts_of(board.account.stages[name])
    if isinstance(page, ScanSlide | Panel):
        names = (name for view in page.views for name in view.regions)
        yield from (board.regions[name].called for name in names)
    if not isinstance(page, Panel):
        yield page.say


def _texts_of(part: Part) -> list[str]:
    texts: list[str] = []

    def noted(text: str) -> str:
        texts.append(text)
        return text

    with_texts(part, noted, leave=_OFF_SLIDE)
    return texts


def terms_in(texts: Iterable[str], glossary: Glossary) -> tuple[str, ...]:
    """The terms that texts name in braces, or use in any of their forms."""
    text = known_text(texts, glossary)
    return tuple(name for name, term in glossary.items() if pattern_of(term).search(text))


def known_text(texts: Iterable[str], glossary: Glossary) -> str:
    """Texts as far as they are known before they are filled: terms in braces as themselves, other
    names and clicks left out."""

    def known(found: re.Match[str]) -> str:
        term = glossary.get(found[1] or "")
        return (term.form(found[2] or "") or term.term) if term is not None else " "

    return "\n".join(_CLICK.sub(" ", _IN_WORDS.sub(known, text)) for text in texts)


@lru_cache(maxsize=1024)
def _pattern(forms: tuple[str, ...]) -> re.Pattern[str]:
    longest_first = sorted(forms, key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)", re.IGNORECASE)


def pattern_of(term: Term) -> re.Pattern[str]:
    """Finds any form of the term as a whole word, in large letters or small."""
    return _pattern(tuple(dict.fromkeys(term.forms.values())))
