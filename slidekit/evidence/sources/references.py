"""Full references, author and date first, as The Chicago Manual of Style (18th edition, chapters 13
and 14) writes them; `*…*` stands for italic, as everywhere in a storyboard.

Where that leaves a choice: the place stands before a publisher if the description has it, and
dates are written day before month.
"""

from collections.abc import Sequence

from slidekit.evidence.dates.words import Manner
from slidekit.evidence.sources.issued import say_day, say_year
from slidekit.evidence.sources.pages import with_dashes
from slidekit.evidence.sources.words import CitationWords
from slidekit.evidence.sources.works import Person, Work

_MOST_NAMES, _NAMES_OF_MANY = 6, 3  # of seven authors or more, three are named (13.107)

ARTICLES = ("article", "article-journal", "review", "review-book")
PERIODICALS = ("article-magazine", "article-newspaper", "webpage", "post", "post-weblog")
CHAPTERS = ("chapter", "paper-conference", "entry", "entry-dictionary", "entry-encyclopedia")
UNPUBLISHED = ("manuscript", "personal_communication", "speech", "interview", "thesis")


def full_reference(work: Work, year: str, words: CitationWords, manner: Manner) -> str:
    """One entry of a list of references. `year` with its letter, if it has one."""
    head, title = _names(work, words), title_of(work, words)
    if not head:
        head, title = title, ""
    parts = [head, year, *([title] if title else []), *_rest(work, words, manner)]
    return " ".join(sentence(part, words) for part in parts if part)


def sentence(part: str, words: CitationWords) -> str:
    """A part with its full stop: inside a closing quotation mark, and not after another stop."""
    closing = words.quotes[1]
    ends = f"{closing}{words.inner_quotes[1]}" if part.endswith(closing) else ""
    inside = part.rstrip(ends) if ends else part
    if inside.rstrip("*").endswith((".", "?", "!")):
        return part
    if words.stop_inside:
        return f"{inside}.{part[len(inside) :]}"
    return f"{part}."


def title_of(work: Work, words: CitationWords, *, short: bool = False) -> str:
    """A title as print has it: in italic, or between quotation marks for a part of a whole."""
    title = (work.short_title if short else "") or work.title
    if work.kind in (*ARTICLES, *PERIODICALS, *CHAPTERS, *UNPUBLISHED):
        return quoted(title, words)
    return italic(title)


def quoted(title: str, words: CitationWords) -> str:
    """Between quotation marks; those that it has itself become inner ones."""
    opening, closing = words.quotes
    for mark, inner in zip(words.quotes, words.inner_quotes, strict=True):
        title = title.replace(mark, inner)
    return f"{opening}{title}{closing}"


def italic(title: str) -> str:
    """Marked as italic, unless the author has marked parts of it."""
    return f"*{title}*" if "*" not in title else title


def _names(work: Work, words: CitationWords) -> str:
    makers = work.makers
    if not makers:
        return ""
    names = _in_list(makers, words, more=work.more_authors)
    if work.authors or not work.editors:
        return names
    return f"{names}, {words.editors if len(makers) > 1 else words.editor}"


def _in_list(people: Sequence[Person], words: CitationWords, *, more: bool) -> str:
    """The first one inverted: "Moor, Anna, and Jan Lee"; "Moor, Anna, et al."."""
    if len(people) > _MOST_NAMES:
        people, more = people[:_NAMES_OF_MANY], True
    names = [people[0].inverted, *(one.natural for one in people[1:])]
    if more:
        return ", ".join([*names, words.et_al])
    if len(names) == 1:
        return names[0]
    return f"{', '.join(names[:-1])}{words.last}{names[-1]}"


def _in_sentence(people: Sequence[Person], words: CitationWords) -> str:
    return joined([one.natural for one in people], words)


def joined(names: Sequence[str], words: CitationWords) -> str:
    """ "Moor", "Moor and Lee", "Moor, Lee, and Quill"."""
    if len(names) < 3:
        return words.pair.join(names)
    return f"{', '.join(names[:-1])}{words.last}{names[-1]}"


def _rest(work: Work, words: CitationWords, manner: Manner) -> list[str]:
    """What follows the title, sentence by sentence."""
    if work.kind in ARTICLES and work.container:
        body = [_in_journal(work, words, manner)]
    elif work.kind in PERIODICALS:
        body = [", ".join(filter(None, (italic_source(work), say_day(work.issued, manner))))]
    elif work.kind in CHAPTERS and work.container:
        body = [_in_whole(work, words), _series(work), _published(work)]
    elif work.kind == "thesis":
        body = [", ".join(filter(None, (work.genre, work.publisher)))]
    elif work.kind in UNPUBLISHED:
        body = [
            _capital(work.genre),
            say_day(work.issued, manner),
            work.container,
            _published(work),
        ]
    else:
        body = [*_of_book(work, words), _series(work), _numbered(work, words), _published(work)]
    archive = ", ".join(filter(None, (work.archive_location, work.archive, work.archive_place)))
    return [*body, archive, _link(work, words, manner)]


def italic_source(work: Work) -> str:
    """A newspaper in italic; a site without."""
    papers = work.kind in ("article-magazine", "article-newspaper")
    source = work.container or work.publisher
    return italic(source) if papers and source else source


def _in_journal(work: Work, words: CitationWords, manner: Manner) -> str:
    """ "*Journal* 11 (1): 1–34"."""
    said = italic(work.container)
    issue = work.issue or work.number
    if work.volume:
        said += f" {work.volume}"
        said += f" ({issue})" if issue else ""
    elif issue:
        said += f", {words.number} {issue}"
    if not work.volume and (day := say_day(work.issued, manner)):
        said += f" ({day})"
    if work.pages:
        said += f"{': ' if work.volume or issue else ', '}{with_dashes(work.pages)}"
    return said


def _in_whole(work: Work, words: CitationWords) -> str:
    """ "In *Whole*, 2nd ed., vol. 2, edited by Jan Lee, 167–195"."""
    by = _in_sentence(work.editors, words) if work.authors else ""
    parts = (
        f"{words.inside} {italic(work.container)}",
        _edition(work, words),
        f"{words.volume} {work.volume}" if work.volume else "",
        f"{words.edited_by} {by}" if by else "",
        with_dashes(work.pages),
    )
    return ", ".join(filter(None, parts))


def _of_book(work: Work, words: CitationWords) -> list[str]:
    editors = _in_sentence(work.editors, words) if work.authors else ""
    translators = _in_sentence(work.translators, words) if work.makers != work.translators else ""
    return [
        _edition(work, words),
        _capital(f"{words.volume} {work.volume}") if work.volume else "",
        _capital(f"{words.edited_by} {editors}") if editors else "",
        _capital(f"{words.translated_by} {translators}") if translators else "",
        work.container,
    ]


def _edition(work: Work, words: CitationWords) -> str:
    """ "2nd ed."; an edition that is no number as it is written."""
    return words.edition(int(work.edition)) if work.edition.isdecimal() else work.edition


def _series(work: Work) -> str:
    return " ".join(filter(None, (work.series, work.series_number)))


def _numbered(work: Work, words: CitationWords) -> str:
    """ "Technical report no. 12"."""
    number = f"{words.number} {work.number}" if work.number else ""
    return _capital(" ".join(filter(None, (work.genre, number))))


def _published(work: Work) -> str:
    return ": ".join(filter(None, (work.place, work.publisher)))


def _link(work: Work, words: CitationWords, manner: Manner) -> str:
    if work.doi:
        return f"https://doi.org/{work.doi.removeprefix('https://doi.org/')}"
    if not work.url or work.accessed.date is None:
        return work.url
    day = say_day(work.accessed, manner)
    when = " ".join(filter(None, (day, say_year(work.accessed, manner))))
    return f"{_capital(words.accessed)} {when}. {work.url}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
