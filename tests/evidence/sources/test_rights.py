import pytest

from slidekit.errors import RightsError
from slidekit.evidence.sources.licence_names import STATEMENTS
from slidekit.evidence.sources.rights import read_rights

BY = "CC BY 4.0 (Attribution 4.0 International), creativecommons.org/licenses/by/4.0/"
SPELLINGS = [
    "CC BY 4.0",
    "cc-by-4.0",
    "CC-BY 4.0",
    "Attribution 4.0 International",
    "https://creativecommons.org/licenses/by/4.0/",
    "http://creativecommons.org/licenses/by/4.0",
    "https://www.creativecommons.org/licenses/by/4.0/deed.de",
    "https://creativecommons.org/licenses/by/4.0/legalcode",
    "https://creativecommons.org/licenses/by/4.0/?ref=chooser-v1",
]


@pytest.mark.parametrize("written", SPELLINGS)
def test_one_licence_has_many_spellings(written: str):
    assert read_rights(written).full == BY


@pytest.mark.parametrize(
    "written",
    [
        "InC",
        "inc 1.0",
        "In Copyright",
        "http://rightsstatements.org/vocab/InC/1.0/",
        "https://rightsstatements.org/page/InC/1.0/?language=de",
    ],
)
def test_one_statement_has_many_spellings(written: str):
    assert read_rights(written).full == "In Copyright, rightsstatements.org/vocab/InC/1.0/"


@pytest.mark.parametrize("code", STATEMENTS)
def test_every_statement_is_known_by_its_code_and_its_uri(code: str):
    uri = f"http://rightsstatements.org/vocab/{code}/1.0/"
    assert read_rights(code) == read_rights(uri)
    assert (read_rights(uri).name, read_rights(uri).uri) == (STATEMENTS[code], uri)


@pytest.mark.parametrize(
    ("written", "full"),
    [
        ("CC0", "CC0 1.0 Universal, creativecommons.org/publicdomain/zero/1.0/"),
        (
            "PDM 1.0",
            "Public Domain Mark 1.0 Universal, creativecommons.org/publicdomain/mark/1.0/",
        ),
        (
            "https://creativecommons.org/licenses/by-sa/3.0/de/deed.en",
            "CC BY-SA 3.0 DE (Attribution-ShareAlike 3.0 Germany),"
            " creativecommons.org/licenses/by-sa/3.0/de/",
        ),
        (
            "CC BY-NC-ND 2.5",
            "CC BY-NC-ND 2.5 (Attribution-NonCommercial-NoDerivs 2.5 Generic),"
            " creativecommons.org/licenses/by-nc-nd/2.5/",
        ),
    ],
)
def test_a_known_statement_is_shown_with_its_official_name(written: str, full: str):
    assert read_rights(written).full == full


@pytest.mark.parametrize(
    "words",
    [
        "All rights reserved",
        "By kind permission of the owner",
        "https://museum.example/terms",
        "CC licence as agreed",
    ],
)
def test_other_words_are_kept_as_they_are(words: str):
    assert read_rights(words).full == read_rights(words).short == words


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("CC BY", "'CC BY' does not say which version. Write CC BY 4.0, or yours."),
        ("CC BY 5.0", "Write CC BY 4.0 if you mean that."),
        ("CC BY-ND-NC 4.0", "Write CC BY-NC-ND 4.0 if you mean that."),
        ("CC BY 2.1", "Write CC BY 2.5 if you mean that."),
        ("CC BY 4.0 DE", "Write CC BY 4.0 if you mean that."),
        ("InC-EUD", "Write InC-EDU if you mean that."),
        (
            "https://creativecommons.org/licence/by-sa/4.0/",
            "Write https://creativecommons.org/licenses/by-sa/4.0/ if you mean that.",
        ),
        (
            "http://rightsstatements.org/vocab/InC/2.0/",
            "Write http://rightsstatements.org/vocab/InC/1.0/ if you mean that.",
        ),
    ],
)
def test_what_means_to_be_a_statement_and_is_none_is_told_with_the_nearest(written, message):
    with pytest.raises(RightsError) as refused:
        read_rights(written)
    assert str(refused.value).endswith(message)


@pytest.mark.parametrize(
    ("written", "changes", "sale", "leave"),
    [
        ("CC BY 4.0", False, False, False),
        ("CC BY-ND 4.0", True, False, False),
        ("CC BY-NC-SA 3.0", False, True, False),
        ("CC BY-NC-ND 4.0", True, True, False),
        ("NoC-NC", False, True, False),
        ("InC", False, False, True),
        ("InC-EDU", False, False, False),
        ("All rights reserved", False, False, False),
    ],
)
def test_what_a_statement_forbids_is_known(written, changes, sale, leave):
    rights = read_rights(written)
    assert (rights.forbids_changes, rights.forbids_sale, rights.needs_leave) == (
        changes,
        sale,
        leave,
    )
