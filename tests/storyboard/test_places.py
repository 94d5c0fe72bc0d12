from pathlib import Path

from slidekit.storyboard.places import Place, Places, dotted

FILE, OTHER = Path("talk.yaml"), Path("other.yaml")
PLACES = Places(
    Place(FILE, 1),
    {
        ("slides",): Place(FILE, 3),
        ("slides", 0): Place(OTHER, 8),
        ("slides", 0, "say"): Place(OTHER, 9, words_line=10),
        ("slides", 0, "title"): Place(OTHER, 14),
        ("slides", 1): Place(FILE, 5),
    },
)


def test_a_field_is_named_with_dots_and_positions():
    assert dotted(("slides", 3, "views", 0, "view")) == "slides[3].views[0].view"
    assert dotted(()) == "storyboard"


def test_what_is_not_in_the_file_stands_where_the_nearest_thing_around_it_does():
    assert PLACES.find(("slides", 0, "views", 2, "view")) == Place(OTHER, 8)
    assert PLACES.find(("slides", 7)) == Place(FILE, 3)
    assert PLACES.find(("talk", "title")) == Place(FILE, 1)


def test_a_fault_has_file_line_field_and_both_sentences():
    fault = PLACES.fault(("slides", 0, "title"), "is too long", "Shorten it")
    assert str(fault) == "other.yaml:14: slides[0].title: is too long. Shorten it."


def test_a_fault_in_words_has_the_line_of_the_words():
    say = "One.\nTwo [show."
    fault = PLACES.fault_in_words(("slides", 0, "say"), say[:9], "is open", "Close it")
    assert (fault.file, fault.line, fault.field) == (OTHER, 11, "slides[0].say")


def test_a_fault_in_words_on_one_line_has_the_line_of_the_field():
    fault = PLACES.fault_in_words(("slides", 0, "title"), "a\nb", "is open", "Close it")
    assert fault.line == 14


def test_a_fault_in_words_that_are_not_in_the_file_has_the_line_around_them():
    fault = PLACES.fault_in_words(("slides", 1, "say"), "a\nb", "is open", "Close it")
    assert (fault.file, fault.line) == (FILE, 5)


def test_everything_at_and_below_a_field_is_found():
    below = dict(PLACES.below(("slides", 0)))
    assert list(below) == [(), ("say",), ("title",)]
    assert below["title",] == Place(OTHER, 14)
