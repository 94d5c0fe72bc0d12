"""The few words of a reference, by language: everything else in it is the work's own, or its date.

They are the terms of the locales of CSL 1.0.2. Another language is another entry of `TABLES`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from slidekit.evidence.dates.words import english_ordinal


@dataclass(frozen=True)
class CitationWords:
    """What stands between names, dates and titles; patterns have a gap."""

    pair: str  # between two names
    last: str  # before the last of several
    et_al: str
    others: str  # `et_al` aloud
    undated: str
    undated_aloud: str
    editor: str
    editors: str
    edited_by: str
    translated_by: str
    inside: str  # before the title of the whole
    edition: Callable[[int], str]
    volume: str
    number: str
    accessed: str
    quotes: tuple[str, str]
    inner_quotes: tuple[str, str]
    stop_inside: bool  # a full stop before the closing quotation mark, not after it


TABLES: Mapping[str, CitationWords] = {
    "en": CitationWords(
        pair=" and ", last=", and ", et_al="et al.", others="and others",
        undated="n.d.", undated_aloud="undated",
        editor="ed.", editors="eds.", edited_by="edited by", translated_by="translated by",
        inside="In", edition=lambda number: f"{english_ordinal(number)} ed.",
        volume="vol.", number="no.", accessed="accessed",
        quotes=("“", "”"), inner_quotes=("‘", "’"), stop_inside=True,
    ),
    "de": CitationWords(
        pair=" und ", last=" und ", et_al="u.\N{NO-BREAK SPACE}a.", others="und andere",
        undated="o.\N{NO-BREAK SPACE}J.", undated_aloud="ohne Jahr",
        editor="Hrsg.", editors="Hrsg.",
        edited_by="herausgegeben von", translated_by="übersetzt von",
        inside="In", edition=lambda number: f"{number}. Aufl.",
        volume="Bd.", number="Nr.", accessed="zugegriffen",
        quotes=("„", "“"), inner_quotes=("‚", "‘"), stop_inside=False,
    ),
    "fr": CitationWords(
        pair=" et ", last=" et ", et_al="et al.", others="et autres",
        undated="s.\N{NO-BREAK SPACE}d.", undated_aloud="sans date",
        editor="éd.", editors="éd.", edited_by="édité par", translated_by="traduit par",
        inside="In", edition=lambda number: f"{number}{'ʳᵉ' if number == 1 else 'ᵉ'} éd.",
        volume="vol.", number="nᵒ", accessed="consulté le",
        quotes=("«\N{NO-BREAK SPACE}", "\N{NO-BREAK SPACE}»"), inner_quotes=("“", "”"),
        stop_inside=False,
    ),
}  # fmt: skip


def words_for(language: str) -> CitationWords:
    """The words of a BCP 47 tag; English ones for a language that has none yet."""
    return TABLES.get(language.partition("-")[0].lower(), TABLES["en"])
