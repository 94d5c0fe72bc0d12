from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import CitationError, StoryboardError
from slidekit.evidence.sources.bibtex import read_bibtex
from slidekit.evidence.sources.works import Work, work_of

BIB = Path("reading.bib")


def work(entry: str, kind: str = "book") -> Work:
    text = entry if entry.startswith("@") else f"@{kind}{{a, title = {{T}}, {entry}}}"
    (found,) = read_bibtex(BIB, text).values()
    return work_of(found.read())


@pytest.mark.parametrize(
    ("latex", "letters"),
    [
        (r"{\"U}ber {\'e}t{\'e}", "Über été"),
        (r"\v{S}tefan \c{c}a {\ss} {\o}re {\AA}gren {\L}ód{\'z}", "Štefan ça ß øre Ågren Łódź"),
        (r"R{\^o}le na{\"\i}ve", "Rôle naïve"),
        (r"{The {Bronze} Age}", "The Bronze Age"),
        (r"50\% of 5~mm \& more", "50% of 5\N{NO-BREAK SPACE}mm & more"),
        (r"``Urns'' --- a survey", "“Urns” — a survey"),
        (r"\emph{Homo} \textit{sapiens}", "Homo sapiens"),
        (r"$\alpha$ and $\beta$", "α and β"),
        ("Zażółć", "Zażółć"),
    ],
)
def test_latex_comes_out_as_letters(latex: str, letters: str):
    assert work(f"@book{{a, title = {{{latex}}}}}").title == letters


@pytest.mark.parametrize(
    ("written", "short", "inverted"),
    [
        ("Moor, Anna", "Moor", "Moor, Anna"),
        ("Anna Moor", "Moor", "Moor, Anna"),
        ("van der Berg, Anna", "van der Berg", "Berg, Anna van der"),
        ("Charles Louis de la Vall{\\'e}e Poussin", "de la Vallée Poussin", None),
        ("Knuth, Jr., Donald E.", "Knuth", "Knuth, Donald E., Jr."),
        ("{Town Museum and Archive}", "Town Museum and Archive", "Town Museum and Archive"),
        ("{\\'E}tienne {\\relax Ch}arpak", "Charpak", "Charpak, Étienne"),
    ],
)
def test_names_have_particles_suffixes_and_bodies(written, short, inverted):
    (person,) = work(f"author = {{{written}}}").authors
    assert person.short == short
    assert inverted is None or person.inverted == inverted


def test_several_names_are_parted_by_and():
    found = work("author = {Moor, Anna and {Museum and Sons} and others}")
    assert [one.short for one in found.authors] == ["Moor", "Museum and Sons"]
    assert found.more_authors


@pytest.mark.parametrize(
    ("fields", "year"),
    [
        ("year = 1987", 1987),
        ("year = {1987}, month = may", 1987),
        ("date = {1987-05/1988}", 1987),
        ("date = {-0043}", -43),
    ],
)
def test_years_and_dates_of_both_forms_are_read(fields: str, year: int):
    date = work(fields).issued.date
    assert date is not None
    assert date.earliest == year


def test_words_in_place_of_a_year_are_kept():
    assert work("year = {forthcoming}").issued.words == "forthcoming"


def test_strings_and_pieces_are_put_together():
    text = '@string{np = "Nowhere"}\n@book{a, title = {T}, publisher = np # " Press"}'
    assert work(text).publisher == "Nowhere Press"


def test_an_article_has_its_journal_volume_issue_and_pages():
    fields = "journal = {J}, volume = 9, number = 2, pages = {41--58}, doi = {10.1/x_y}"
    found = work(fields, "article")
    assert found.kind == "article-journal"
    assert (found.container, found.volume, found.issue, found.pages, found.doi) == (
        "J",
        "9",
        "2",
        "41–58",
        "10.1/x_y",
    )


def test_an_unread_entry_is_told_with_its_line():
    with pytest.raises(StoryboardError) as refused:
        read_bibtex(BIB, "@book{a, title = {x}}\n\n@book{b, title = {y\n@book{c, title = {z}}\n")
    assert str(refused.value) == (
        "reading.bib:3: entry: the entry cannot be read as BibTeX. Close every brace and put a"
        " comma after every field but the last."
    )


def test_a_key_used_twice_matters_where_it_is_cited():
    entries = read_bibtex(
        BIB, "@book{a, title = {x}}\n@book{a, title = {y}}\n@book{b, title = {z}}"
    )
    assert entries["b"].read()["title"] == "z"
    with pytest.raises(
        CitationError, match=r"^there are several entries `a`\. Remove or rename all but one\.$"
    ):
        entries["a"].read()


@pytest.mark.parametrize(
    ("written", "edition"),
    [("2", "2"), ("Second", "2"), ("3rd", "3"), ("Revised edition", "Revised edition")],
)
def test_editions_are_numbers_where_they_can_be(written: str, edition: str):
    assert work(f"edition = {{{written}}}").edition == edition


PIECES = st.lists(
    st.sampled_from([*"{}\\\"'$%#@,=~^_&-", "author", "and ", "title", "\n", " ", "é", "x", "1"]),
    max_size=25,
).map("".join)


@settings(max_examples=150, deadline=None)
@given(PIECES, st.sampled_from(["title", "author", "year", "date", "pages"]))
def test_whatever_stands_in_a_field_is_read_or_refused(text: str, field: str):
    with suppress(StoryboardError, CitationError):  # any other error fails
        for entry in read_bibtex(BIB, f"@book{{a,\n {field} = {{{text}}}\n}}\n{text}").values():
            work_of(entry.read())
