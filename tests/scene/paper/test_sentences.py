from hypothesis import given

from slidekit.scene.clock.schedule import Cue, Passage, Said, Silence
from slidekit.scene.paper.sentences import sentences_of
from tests.scene.paper.samples import turns


def text_of(sentence) -> str:
    return "".join(run.text for run in sentence.runs).strip()


def test_words_are_parted_where_sentences_end():
    passage = Passage((Said("It is from c. 1250 BCE. It is heavy, isn't it? Yes."),))
    assert [text_of(one) for one in sentences_of(passage)] == [
        "It is from c. 1250 BCE.",
        "It is heavy, isn't it?",
        "Yes.",
    ]


def test_a_click_between_sentences_belongs_to_the_second():
    click = Cue(1, "the coil")
    first, second = sentences_of(Passage((Said("Look."), click, Said("There it is."))))
    assert (first.clicks, second.clicks) == ([], [click])
    assert text_of(second) == "[1] There it is."


def test_a_click_inside_a_sentence_leaves_it_whole():
    (one,) = sentences_of(Passage((Said("Look at"), Cue(1, "it"), Said(", there."))))
    assert text_of(one) == "Look at [1], there."


def test_a_paragraph_that_may_go_says_so_and_a_pause_is_marked():
    pieces = Said("Look.", 1, 0, 0.5), Silence(19.5), Said("There.")
    first, second = sentences_of(Passage(pieces, keep="may"))
    assert text_of(first) == "(may go, 0:20) Look."
    assert text_of(second) == "[19.5 s] There."


@given(turns())
def test_no_word_and_no_click_is_lost(turn):
    for passage in turn.passages:
        sentences = list(sentences_of(passage))
        said = " ".join(piece.text for piece in passage.pieces if isinstance(piece, Said))
        runs = [run.text for one in sentences for run in one.runs if not run.text.startswith("[")]
        assert "".join(runs).split() == said.split()
        assert [cue for one in sentences for cue in one.clicks] == list(passage.cues)
