"""Line breaks between letters against another implementation of UAX #14, uniseg (PyPI)."""

from hypothesis import given, settings
from hypothesis import strategies as st
from uniseg.linebreak import line_break_boundaries

from slidekit.scene.lettering.breaks import unbroken_pieces

KANA = "あいうおかきとのひらアカキト"
IDEOGRAPHS = "壺底骨片土内側金属漢字"
SIGNS = "、。「」（）・ー々っょ！？：…％"


@settings(max_examples=300, deadline=None)
@given(st.text(KANA + IDEOGRAPHS + SIGNS, min_size=1, max_size=14))
def test_ideographs_kana_and_their_signs_part_where_the_standard_parts_them(text):
    ours = [end for _, end in unbroken_pieces(text, at_dashes=False)]
    theirs = list(line_break_boundaries(text))
    assert set(ours) <= set(theirs)
    ordinary = {
        at for at in theirs if at == len(text) or set(text[at - 1 : at + 1]) <= {*KANA, *IDEOGRAPHS}
    }
    assert ordinary <= set(ours)


@settings(max_examples=300, deadline=None)
@given(st.text(KANA + IDEOGRAPHS + "、。（）ab12", min_size=1, max_size=14))
def test_letters_of_other_scripts_part_nowhere_that_the_standard_forbids(text):
    ours = {end for _, end in unbroken_pieces(text, at_dashes=False)}
    assert ours <= set(line_break_boundaries(text))
