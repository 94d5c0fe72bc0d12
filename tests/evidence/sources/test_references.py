import pytest

from slidekit.evidence.sources.citing import Bibliography
from slidekit.evidence.sources.works import work_of

MOOR = {"family": "Moor", "given": "Anna"}


def full(**described: object) -> str:
    item = {"author": [MOOR], "issued": 2019, "title": "Urns"}
    kept = ("archive_location",)
    item |= {k if k in kept else k.replace("_", "-"): v for k, v in described.items()}
    return Bibliography({"a": work_of(item)}).full("a")


@pytest.mark.parametrize(
    ("described", "reference"),
    [
        (
            {"type": "book", "edition": "3", "volume": "2", "collection_title": "Pots"},
            "Moor, Anna. 2019. *Urns*. 3rd ed. Vol. 2. Pots.",
        ),
        (
            {"type": "book", "editor": [{"family": "Lee", "given": "Jan"}], "edition": "Rev. ed."},
            "Moor, Anna. 2019. *Urns*. Rev. ed. Edited by Jan Lee.",
        ),
        (
            {"type": "book", "translator": [{"family": "Lee", "given": "Jan"}]},
            "Moor, Anna. 2019. *Urns*. Translated by Jan Lee.",
        ),
        (
            {"type": "book", "title": "What Are Urns?", "publisher": "N"},
            "Moor, Anna. 2019. *What Are Urns?* N.",
        ),
        (
            {"type": "article-journal", "title": "Why?", "container_title": "Pots", "issue": "4"},
            "Moor, Anna. 2019. “Why?” *Pots*, no. 4.",
        ),
        (
            {"type": "article-newspaper", "container_title": "News", "issued": "2019-05-03"},
            "Moor, Anna. 2019. “Urns.” *News*, 3 May.",
        ),
        (
            {
                "type": "webpage",
                "container_title": "Pots",
                "URL": "https://pots.example",
                "accessed": "2020-02-01",
            },
            "Moor, Anna. 2019. “Urns.” Pots. Accessed 1 February 2020. https://pots.example.",
        ),
        (
            {"type": "report", "genre": "technical report", "number": "12", "publisher": "N"},
            "Moor, Anna. 2019. *Urns*. Technical report no. 12. N.",
        ),
        (
            {
                "type": "manuscript",
                "genre": "field diary",
                "archive": "Museum",
                "archive_location": "Box 3",
                "issued": "1931-05-02",
            },
            "Moor, Anna. 1931. “Urns.” Field diary. 2 May. Box 3, Museum.",
        ),
        (
            {"type": "chapter", "container_title": "Pots", "volume": "2", "page": "5-9"},
            "Moor, Anna. 2019. “Urns.” In *Pots*, vol. 2, 5–9.",
        ),
        (
            {"type": "book", "DOI": "https://doi.org/10.1/x", "URL": "https://other.example"},
            "Moor, Anna. 2019. *Urns*. https://doi.org/10.1/x.",
        ),
        ({"type": "book", "author": [], "issued": 1931}, "*Urns*. 1931."),
        ({"type": "speech", "title": "On “Doors”"}, "Moor, Anna. 2019. “On ‘Doors.’”"),
        ({"type": "book", "issued": None}, "Moor, Anna. n.d. *Urns*."),
        ({"type": "book", "title": "<i>Homo</i> in Urns"}, "Moor, Anna. 2019. *Homo in Urns*."),
    ],
)
def test_a_reference_is_written_in_full(described, reference):
    assert full(**described) == reference


def test_of_seven_authors_three_are_named():
    people = [{"family": f"{letter}man", "given": "X."} for letter in "ABCDEFG"]
    assert full(type="book", author=people).startswith("Aman, X., X. Bman, X. Cman, et al. 2019.")
    assert "X. Fman" in full(type="book", author=people[:6])
