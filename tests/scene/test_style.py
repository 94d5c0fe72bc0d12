"""Styles: the shipped ones are legible, and own ones are refused where they are not."""

import re
from itertools import combinations
from pathlib import Path
from typing import get_args

import pytest

from slidekit.errors import StyleError
from slidekit.scene.color import contrast_ratio, least_difference
from slidekit.scene.model import Role
from slidekit.scene.palette import nearest_basic_term
from slidekit.scene.style import Style, load_style

SHIPPED = ["lecture-dark", "lecture-light"]
GREYS = [f"#{grey:02X}{grey:02X}{grey:02X}" for grey in range(256)]


def _shipped(name: str) -> Style:
    return load_style(name, Path())


def _own(folder: Path, text: str) -> Style:
    (folder / "own.yaml").write_text(text, encoding="utf-8")
    return load_style("own.yaml", folder)


def _refusal(folder: Path, text: str) -> str:
    with pytest.raises(StyleError, match=r"own\.yaml") as caught:
        _own(folder, text)
    return str(caught.value).replace(f"{folder}/", "")


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_text_reads_at_7_to_1(name: str) -> None:
    colors = _shipped(name).colors  # WCAG 2.2, success criterion 1.4.6
    for under in (colors.ground, colors.plate):
        assert contrast_ratio(colors.ink, under) >= 7
        assert contrast_ratio(colors.quiet, under) >= 7
        assert contrast_ratio(colors.accent, under) >= 3


@pytest.mark.parametrize("name", SHIPPED)
def test_on_every_grey_a_shipped_mark_or_its_halo_stands_out(name: str) -> None:
    style = _shipped(name)  # WCAG 2.2, success criterion 1.4.11
    for mark in style.marks.values():
        for grey in GREYS:
            ratios = (contrast_ratio(mark.color, grey), contrast_ratio(style.colors.halo, grey))
            assert max(ratios) >= 3, (mark.spoken, grey)


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_marks_differ_for_all_viewers(name: str) -> None:
    marks = list(_shipped(name).marks.values())
    assert len({mark.dash for mark in marks}) == len(marks)
    for one, other in combinations(marks, 2):
        assert least_difference(one.color, other.color) >= 10


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_styles_size_every_role(name: str) -> None:
    style = _shipped(name)
    assert set(style.sizes) == set(style.panel_sizes) == set(get_args(Role))
    # US National Park Service: no exhibit text under 24 pt
    assert min(size.least_pt for size in style.panel_sizes.values()) >= 24


@pytest.mark.parametrize("name", SHIPPED)
def test_the_name_of_a_shipped_style_is_its_file_name(name: str) -> None:
    assert _shipped(name).name == name


def test_an_own_style_states_only_what_differs(tmp_path: Path) -> None:
    own = _own(
        tmp_path,
        "like: lecture-dark\nname: mine\nwindows:\n  wax: {center: 0, width: 300, source: a}",
    )
    dark = _shipped("lecture-dark")
    assert own.name == "mine"
    assert own.windows["wax"].width == 300
    assert own.windows["bone"] == dark.windows["bone"]
    assert own.colors == dark.colors


def test_a_window_of_a_style_may_have_a_curve(tmp_path: Path) -> None:
    wax = "windows:\n  wax: {center: 0, width: 0.5, curve: sigmoid, source: a}"
    own = _own(tmp_path, f"like: lecture-dark\nname: mine\n{wax}")
    assert (own.windows["wax"].width, own.windows["wax"].curve) == (0.5, "sigmoid")
    assert own.windows["bone"].curve == "linear"


def test_colors_may_be_written_in_small_letters(tmp_path: Path) -> None:
    assert _own(tmp_path, 'like: lecture-dark\ncolors: {ink: "#fefefe"}').colors.ink == "#FEFEFE"


@pytest.mark.parametrize(
    ("name", "message"),
    [
        (
            "lecture-drak",
            "There is no style called 'lecture-drak'. Write lecture-dark if you mean that, or the"
            " path of a style file of your own, ending in .yaml.",
        ),
        (
            "x",
            "There is no style called 'x'. Write one of lecture-dark, lecture-light, or the path"
            " of a style file of your own, ending in .yaml.",
        ),
        (
            "x.yaml",
            "There is no style file {folder}/x.yaml. Write a path relative to the file that names"
            " it, or the name of a shipped style: lecture-dark, lecture-light.",
        ),
    ],
)
def test_an_unknown_style_is_refused(name: str, message: str, tmp_path: Path) -> None:
    whole = re.escape(message.format(folder=tmp_path))
    with pytest.raises(StyleError, match=f"^{whole}$"):
        load_style(name, tmp_path)


HEX = 'Write # and six hexadecimal digits in quotes, as in "#12161C".'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "colors:\n  ink: #FFFFFF",
            "own.yaml:3: colors.ink: is empty, because # begins a comment."
            " Put quotes around words that begin with #.",
        ),
        ("colors:\n  ink:", f"own.yaml:3: colors.ink: there is no value. {HEX}"),
        ('colors: {ink: "red"}', f"own.yaml:2: colors.ink: 'red' is not a color. {HEX}"),
        (
            'colors: {quiet: "#888888"}',
            "own.yaml:2: colors.quiet: #888888 has a contrast of 5.12:1 on the ground #12161C."
            " Choose a color with 7:1 or more.\n"
            "own.yaml:2: colors.quiet: #888888 has a contrast of 4.40:1 on the plate #1E242D."
            " Choose a color with 7:1 or more.",
        ),
        (
            'marks:\n  blue: {color: "#1E90FF"}',
            "own.yaml:3: marks.blue.color: #1E90FF has a contrast of 6.49:1 to the halo #000000,"
            " so that on some greys neither reaches 3:1."
            " Choose a lighter color, with 9:1 or more, or a darker halo.",
        ),
        (
            "marks:\n  orange: {spoken: red}",
            "own.yaml:3: marks.orange.spoken: #FF9524 is called red but looks orange."
            " Call it orange, or choose a color that looks red.",
        ),
        (
            "marks:\n  orange: {spoken: salmon}",
            "own.yaml:3: marks.orange.spoken: 'salmon' does not end in a basic colour word. Write"
            " one of black, white, gray, red, orange, yellow, green, turquoise, blue, purple,"
            " pink, brown, alone or after a word such as light.",
        ),
        (
            'marks:\n  amber: {spoken: light orange, color: "#FF9A2E", dash: dash}',
            "own.yaml:3: marks.amber.color: #FF9A2E and the #FF9524 of orange have the same dash"
            " and differ by a CIEDE2000 of only 0.8 to some viewers. Choose another dash, or colors"
            " that differ by 10 or more under normal, protan, deutan and tritan vision.",
        ),
        (
            'marks:\n  peach: {spoken: Pink, color: "#FFC0CB", dash: solid}',
            "own.yaml:3: marks.peach.spoken: 'Pink' is also what the mark pink is called."
            " Give each mark a word of its own.",
        ),
        (
            "marks:\n  blue: {dash: dots}",
            "own.yaml:3: marks.blue.dash: 'dots' is unknown. Write 'solid', 'dash', 'lgDash',"
            " 'dashDot', 'lgDashDot' or 'lgDashDotDot'.",
        ),
        (
            "sizes:\n  body: {pt: 12, least_pt: 14}",
            "own.yaml:3: sizes.body: least_pt 14 is more than pt 12."
            " Write the smallest size allowed as least_pt.",
        ),
        (
            "sizes:\n  body: {pt: big}",
            "own.yaml:3: sizes.body.pt: 'big' is not a number. Write a number, without unit.",
        ),
        (
            "mark_halo_pt: 2",
            "own.yaml:2: mark_halo_pt: a halo of 2 pt hides under a line of 3 pt."
            " Make the halo about twice as wide as the line.",
        ),
        (
            "colour: 1",
            "own.yaml:2: colour: a style has no colour here. Remove it or mend its spelling.",
        ),
        (
            "name: a\nname: b",
            "own.yaml:3: name: is written twice, first on line 2. Remove one, or rename it.",
        ),
        (
            "windows:\n  wax: {center: 0, width: 0, source: a}",
            "own.yaml:3: windows.wax.width: 0 cannot stand here. Input should be greater than 0.",
        ),
        (
            "windows:\n  wax: {center: 0, width: 0.5, source: a}",
            "own.yaml:3: windows.wax.width: 0.5 is too small."
            " Write 1 or more, or add `curve: linear_exact`, which takes less.",
        ),
    ],
)
def test_a_style_that_does_not_serve_is_refused(text: str, message: str, tmp_path: Path) -> None:
    assert _refusal(tmp_path, f"like: lecture-dark\n{text}\n") == message


def test_all_faults_of_a_style_are_reported_at_once(tmp_path: Path) -> None:
    faults = _refusal(tmp_path, 'name: a\ncolors: {ink: "#FFFFFF"}\n').splitlines()
    assert "own.yaml:2: colors.ground: ground is missing. Add ground." in faults
    assert "own.yaml:1: marks: marks is missing. Add marks." in faults
    assert len(faults) == 9


def test_a_missing_size_is_named(tmp_path: Path) -> None:
    dark = _shipped("lecture-dark").model_dump(exclude={"fonts"})
    del dark["sizes"]["quote"]
    (tmp_path / "own.yaml").write_text(str(dark), encoding="utf-8")  # YAML reads Python's braces
    with pytest.raises(
        StyleError,
        match=r"own\.yaml:1: sizes: there is no size for quote\."
        r" Add a line such as quote: \{pt: 18, least_pt: 14\}\.$",
    ):
        load_style("own.yaml", tmp_path)


def test_styles_that_are_like_each_other_are_refused(tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text("like: own.yaml\n", encoding="utf-8")
    assert _refusal(tmp_path, "like: other.yaml\n") == (
        "own.yaml: the styles own.yaml and other.yaml are like each other in a circle."
        " Let one of them state everything itself, without `like`."
    )


def test_words_in_another_language_are_not_checked_for_their_hue(tmp_path: Path) -> None:
    own = _own(tmp_path, "like: lecture-dark\nlanguage: de\nmarks:\n  blue: {spoken: blau}\n")
    assert own.marks["blue"].spoken == "blau"


@pytest.mark.parametrize(
    ("color", "term"),
    [  # the hues of Okabe & Ito's palette (2008) and of signal colours; common practice
        ("#E69F00", "orange"),
        ("#56B4E9", "blue"),
        ("#009E73", "green"),
        ("#F0E442", "yellow"),
        ("#0072B2", "blue"),
        ("#FFFFFF", "white"),
        ("#DD0000", "red"),
        ("#7A7A7A", "gray"),
        ("#704214", "brown"),
    ],
)
def test_colors_have_the_names_that_people_give_them(color: str, term: str) -> None:
    assert nearest_basic_term(color) == term
