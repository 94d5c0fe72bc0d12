import pytest
from babel.numbers import format_decimal
from hypothesis import given
from hypothesis import strategies as st

from slidekit.wording import figures, has_words, in_english, lacking, phrase, speak_in


def test_english_is_as_it_stands_in_the_code():
    speak_in("en-GB")
    assert phrase("{n} slides", n=3) == "3 slides"
    assert lacking() == ()


def test_a_phrase_is_in_the_language_of_the_run():
    speak_in("de")
    assert phrase("For teaching and exhibition, not for diagnosis") == (
        "Für Lehre und Ausstellung, nicht zur Diagnose"
    )


def test_what_an_author_reads_is_english_meanwhile():
    speak_in("de")
    with in_english():
        assert phrase("{k} of {n}", k=3, n=9) == "3 of 9"
        assert figures("1,930.5") == "1,930.5"
    assert phrase("{k} of {n}", k=3, n=9) == "3 von 9"


def test_a_phrase_that_a_language_does_not_have_is_english_and_noted():
    speak_in("ja")
    assert phrase("Never {seen}", seen="before") == "Never before"
    assert lacking() == ("Never {seen}",)


def test_languages_with_words_are_known():
    assert has_words("en-GB")
    assert has_words("de-AT")
    assert not has_words("ja")


@pytest.mark.parametrize("language", ["de", "fr", "de-CH", "sv", "ja"])
@given(number=st.decimals(0, 10**9, places=2), grouped=st.booleans())
def test_numbers_have_the_marks_of_the_language(language, number, grouped):
    # Babel formats the number itself, from the same CLDR data by another way
    english = f"{number:,.2f}" if grouped else f"{number:.2f}"
    speak_in(language)
    by_babel = format_decimal(
        number, "#,##0.00" if grouped else "0.00", locale=language.replace("-", "_")
    )
    assert figures(f"It is {english} mm.") == f"It is {by_babel} mm."


def test_dates_ranges_and_versions_are_no_decimal_numbers():
    speak_in("de")
    assert figures("1,930 HU, 0.5 mm, 1300–1200, c. 79, V202.01") == (
        "1.930 HU, 0,5 mm, 1300–1200, c. 79, V202.01"
    )


def test_an_unknown_language_leaves_numbers_as_they_are():
    speak_in("tlh")
    assert figures("1,930.5") == "1,930.5"
