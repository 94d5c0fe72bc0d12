import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.dates.words import Manner
from slidekit.evidence.sources.citing import Bibliography
from slidekit.evidence.sources.works import Work, work_of

A_MOOR, B_MOOR = {"family": "Moor", "given": "Anna"}, {"family": "Moor", "given": "Ben"}
LEE, QUILL, PAGE = {"family": "Lee"}, {"family": "Quill"}, {"family": "Page"}


def work(*author: dict[str, str], title: str = "Urns", year: object = 2019, **more: str) -> Work:
    return work_of({"type": "book", "title": title, "author": author, "issued": year, **more})


def shorts(*works: Work, language: str = "en") -> list[str]:
    named = {f"w{i}": one for i, one in enumerate(works)}
    bibliography = Bibliography(named, Manner(language=language))
    return [bibliography.short(name) for name in named]


@pytest.mark.parametrize(
    ("authors", "printed", "spoken"),
    [
        ([A_MOOR], "Moor 2019, 7", "Moor, 2019"),
        ([A_MOOR, LEE], "Moor and Lee 2019, 7", "Moor and Lee, 2019"),
        ([A_MOOR, LEE, QUILL], "Moor et al. 2019, 7", "Moor and others, 2019"),
        ([A_MOOR, {"literal": "others"}], "Moor et al. 2019, 7", "Moor and others, 2019"),
        ([{"literal": "Town Museum"}], "Town Museum 2019, 7", "Town Museum, 2019"),
        (
            [{"family": "Berg", "given": "A.", "non-dropping-particle": "van der"}],
            "van der Berg 2019, 7",
            "van der Berg, 2019",
        ),
        (
            [{"family": "Humboldt", "given": "A.", "dropping-particle": "von"}],
            "Humboldt 2019, 7",
            "Humboldt, 2019",
        ),
    ],
)
def test_one_to_three_authors_are_cited_in_short(authors, printed, spoken):
    bibliography = Bibliography({"a": work(*authors)})
    assert (bibliography.short("a", "7"), bibliography.spoken("a")) == (printed, spoken)


@pytest.mark.parametrize(
    ("page", "printed"),
    [("112--114", "112–114"), ("xii-xv", "xii–xv"), ("fig. 3", "fig. 3"), ("A-3", "A-3")],
)
def test_a_page_is_printed_as_written_with_dashes_for_ranges(page, printed):
    assert Bibliography({"a": work(A_MOOR)}).short("a", page) == f"Moor 2019, {printed}"


def test_works_of_one_author_and_year_have_letters_in_the_order_of_their_titles():
    assert shorts(
        work(A_MOOR, title="The Plug"), work(A_MOOR, title="A Lid"), work(A_MOOR, year=2020)
    ) == ["Moor 2019b", "Moor 2019a", "Moor 2020"]


def test_one_work_that_is_cited_twice_has_no_letter():
    assert shorts(work(A_MOOR), work(A_MOOR)) == ["Moor 2019", "Moor 2019"]


def test_undated_and_forthcoming_works_have_letters_after_a_hyphen():
    undated = [work(A_MOOR, title=title, year=None) for title in ("B", "A")]
    assert shorts(*undated) == ["Moor n.d.-b", "Moor n.d.-a"]
    coming = [work(A_MOOR, title=t, year={"literal": "forthcoming"}) for t in ("A", "B")]
    assert shorts(*coming) == ["Moor forthcoming-a", "Moor forthcoming-b"]


def test_first_authors_of_one_family_name_have_initials():
    assert shorts(work(A_MOOR), work(B_MOOR, LEE), work(LEE, A_MOOR)) == [
        "A. Moor 2019",
        "B. Moor and Lee 2019",
        "Lee and Moor 2019",
    ]


def test_first_authors_of_one_family_name_and_initial_have_their_given_names():
    amy = {"family": "Moor", "given": "Amy"}
    assert shorts(work(A_MOOR), work(amy)) == ["Anna Moor 2019", "Amy Moor 2019"]


def test_more_names_stand_where_et_al_would_hide_a_difference():
    assert shorts(work(A_MOOR, LEE, QUILL), work(A_MOOR, PAGE, QUILL)) == [
        "Moor, Lee, et al. 2019",
        "Moor, Page, et al. 2019",
    ]
    assert shorts(work(A_MOOR, LEE, QUILL), work(A_MOOR, LEE, PAGE)) == [
        "Moor, Lee, and Quill 2019",
        "Moor, Lee, and Page 2019",
    ]
    assert shorts(work(A_MOOR, LEE, QUILL), work(A_MOOR, PAGE, QUILL, year=2020)) == [
        "Moor et al. 2019",
        "Moor et al. 2020",
    ]


def test_a_work_without_names_is_cited_by_its_title():
    diary = work(title="Field Diary", year=1931)
    assert shorts(diary) == ["*Field Diary* 1931"]
    long = work(title="A Field Diary of the Ninth Season", **{"title-short": "Field Diary"})
    assert shorts(long) == ["*Field Diary* 2019"]
    assert Bibliography({"a": diary}).spoken("a") == "Field Diary, 1931"


def test_editors_stand_where_there_are_no_authors():
    edited = work_of({"type": "book", "title": "Urns", "editor": [A_MOOR, LEE], "issued": 2019})
    bibliography = Bibliography({"a": edited})
    assert bibliography.short("a") == "Moor and Lee 2019"
    assert bibliography.full("a") == "Moor, Anna, and Lee, eds. 2019. *Urns*."


def test_the_words_follow_the_language():
    three = work(A_MOOR, LEE, QUILL)
    assert shorts(work(A_MOOR, LEE), three, language="de") == [
        "Moor und Lee 2019",
        "Moor u.\N{NO-BREAK SPACE}a. 2019",
    ]
    german = Bibliography({"a": three}, Manner(language="de-AT"))
    assert german.spoken("a") == "Moor und andere, 2019"
    assert german.full("a") == "Moor, Anna, Lee und Quill. 2019. *Urns*."


def test_the_list_is_sorted_by_names_then_years_then_titles_without_articles_and_accents():
    works = {
        "zoe": work({"family": "Zoé"}),
        "old": work({"family": "Åby"}, year="43 BCE"),
        "new": work({"family": "Aby"}, year=1931),
        "pair": work({"family": "Aby"}, LEE, year=1900),
        "title": work(title="The Earth"),
        "undated": work({"family": "Aby"}, year=None),
    }
    assert Bibliography(works).listed == ("old", "new", "undated", "pair", "title", "zoe")


def test_particles_are_not_sorted_by():
    berg = work({"family": "Berg", "given": "A.", "non-dropping-particle": "van der"})
    assert Bibliography({"c": work({"family": "Cole"}), "b": berg}).listed == ("b", "c")


def test_what_is_cited_is_listed_once_whatever_it_is_called():
    works = {"one": work(A_MOOR), "again": work(A_MOOR), "other": work(LEE)}
    assert Bibliography(works).references({"again", "one"}) == ("Moor, Anna. 2019. *Urns*.",)


PEOPLE = st.lists(
    st.builds(
        dict, family=st.sampled_from(["Moor", "Lee"]), given=st.sampled_from(["Anna", "Amy", "B."])
    ),
    min_size=1,
    max_size=4,
    unique_by=lambda one: (one["family"], one["given"]),
)


@given(
    st.lists(st.tuples(PEOPLE, st.sampled_from("ABC"), st.sampled_from([2019, None])), max_size=6)
)
def test_no_two_works_are_cited_alike(described):
    works = [work(*people, title=title, year=year) for people, title, year in described]
    cited = dict(zip(works, shorts(*works), strict=True))
    assert len(set(cited.values())) == len(cited)
