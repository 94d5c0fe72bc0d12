from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.printed import numbers_printed_in, with_numbers, with_texts
from slidekit.storyboard.slides import TextSlide
from slidekit.storyboard.views import ShownView

WORDS = {
    ("holes", ""): "three of nine",
    ("holes", "percent"): "33 %",
    ("holes", "called"): "800 v. Chr.",
}


class Numbers:
    def __contains__(self, name: object) -> bool:
        return name == "holes"

    def say(self, name: str, part: str) -> str:
        return WORDS[name, part]


NUMBERS = Numbers()


def filled(text: str) -> str:
    slide = TextSlide(id="a", kind="text", title=text, points=("x",))
    return with_numbers(slide, NUMBERS).title


def test_numbers_are_filled_into_everything_that_is_printed():
    panel = Panel(
        size_mm=(300, 400),
        headline="{holes} urns",
        body=("It is {holes.percent}. {holes} have it.",),
        views=(ShownView(view="base", caption="one of {holes}"),),
    )
    printed = with_numbers(panel, NUMBERS)
    assert printed.headline == "Three of nine urns"
    assert printed.body == ("It is 33 %. Three of nine have it.",)
    assert printed.views[0].caption == "one of three of nine"
    assert numbers_printed_in(panel, NUMBERS) == ("holes",)


def test_words_that_are_spoken_are_left_to_the_speaker():
    slide = TextSlide(id="a", kind="text", title="t", points=("p",), say="{holes}")
    assert with_numbers(slide, NUMBERS).say == "{holes}"
    assert numbers_printed_in(slide, NUMBERS) == ()


def test_other_braces_are_printed_as_they_stand():
    for text in ("{coil.mark}", "a {set} of {1, 2}", "{ holes }", "{holes", "{{}}"):
        assert filled(text) == text


def test_a_number_that_opens_a_sentence_has_a_capital():
    assert filled("{holes}. {holes}") == "Three of nine. Three of nine"
    assert filled("Of c. {holes}") == "Of c. three of nine"


def test_a_sentence_that_ends_with_an_abbreviation_has_one_full_stop():
    assert filled("It ends {holes.called}. {holes.called}.") == "It ends 800 v. Chr. 800 v. Chr."
    assert filled("{holes.called}, or {holes.called}") == "800 v. Chr., or 800 v. Chr."


def test_names_and_choices_are_not_read_as_words():
    board = Storyboard.model_validate(
        {
            "talk": {"title": "t", "slot_min": 1},
            "slides": [
                {
                    "id": "scan_one",
                    "kind": "scan",
                    "title": "Title",
                    "section": "Section",
                    "views": [{"view": "base", "regions": ["coil"], "caption": "Caption"}],
                    "say": "Words",
                }
            ],
        }
    )
    seen: list[str] = []
    with_texts(board.slides[0], lambda text: seen.append(text) or text)
    assert [text for text in seen if text] == ["Title", "Section", "Caption"]
