import pytest

from slidekit.storyboard.names.naming import as_name, listed, nearest

KNOWN = ("coil", "plug", "lid_seal", "wall")


@pytest.mark.parametrize(
    ("word", "meant"),
    [("coli", "coil"), ("Coil", "coil"), ("Lid Seal", "lid_seal"), ("lid-seal", "lid_seal")],
)
def test_the_name_that_is_meant_is_found(word, meant):
    assert nearest(word, KNOWN) == meant


def test_a_word_that_is_like_no_name_finds_none():
    assert nearest("xyz", KNOWN) is None
    assert nearest("coil", ()) is None


@pytest.mark.parametrize(
    ("word", "name"),
    [("Coil 1", "coil_1"), ("1st coil", "st_coil"), ("__a--b__", "a_b"), ("Ü", ""), ("12", "")],
)
def test_a_word_becomes_a_name(word, name):
    assert as_name(word) == name


def test_long_lists_are_cut():
    assert listed(KNOWN) == "coil, plug, lid_seal, wall"
    assert listed(KNOWN, 2) == "coil, plug and 2 more"
    assert listed(()) == ""
