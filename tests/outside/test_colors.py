"""Contrast, colour-blind vision and colour difference against published values and coloraide."""

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scene.color import (
    Lab,
    color_difference,
    contrast_ratio,
    delta_e_2000,
    lab_of,
    simulate_machado,
)

COLORS = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06X}")


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [  # WCAG 2.2 (W3C Recommendation), definition of contrast ratio; digits from its formula
        ("#000000", "#FFFFFF", 21.0),
        ("#777777", "#FFFFFF", 4.4781),
        ("#767676", "#FFFFFF", 4.5422),
        ("#757575", "#FFFFFF", 4.6075),
        ("#595959", "#FFFFFF", 7.0047),
        ("#808080", "#FFFFFF", 3.9494),
        ("#949494", "#FFFFFF", 3.0335),
        ("#959595", "#FFFFFF", 2.9953),
        ("#FF0000", "#FFFFFF", 3.9985),
        ("#0000FF", "#FFFFFF", 8.5925),
        ("#00FF00", "#FFFFFF", 1.3722),
        ("#FFFF00", "#FFFFFF", 1.0738),
        ("#FFFF00", "#000000", 19.5560),
        ("#333333", "#CCCCCC", 7.8675),
    ],
)
def test_contrast_is_that_of_wcag(one: str, other: str, ratio: float) -> None:
    assert contrast_ratio(one, other) == pytest.approx(ratio, abs=5e-5)
    assert contrast_ratio(other, one) == contrast_ratio(one, other)


@given(COLORS, COLORS)
def test_contrast_agrees_with_coloraide(one: str, other: str) -> None:
    # coloraide has more digits of the luminance weights
    assert contrast_ratio(one, other) == pytest.approx(Color(one).contrast(other), rel=1e-3)


@pytest.mark.parametrize(
    ("color", "protan", "deutan", "tritan"),
    [  # Machado et al. 2009, severity 1, on linear RGB; colorspacious 1.1.2 and coloraide 8 agree
        ("#FF0000", "#6D5F00", "#A39000", "#FF000F"),
        ("#00FF00", "#FFE500", "#EFD63A", "#00F7D9"),
        ("#0000FF", "#0059FF", "#003DFB", "#006B96"),
        ("#E69F00", "#B9A200", "#CAB411", "#FB8C87"),
        ("#56B4E9", "#9BB3EC", "#87A4E8", "#00C2C6"),
        ("#009E73", "#9A9271", "#8A8676", "#009E92"),
        ("#F0E442", "#F8DC23", "#FCE34E", "#FFD4C5"),
        ("#0072B2", "#5375B5", "#3B67B1", "#008289"),
        ("#D55E00", "#817100", "#9E8C00", "#EB4050"),
        ("#CC79A7", "#808BA9", "#9498A5", "#D6788A"),
    ],
)
def test_color_blind_vision_is_that_of_machado(
    color: str, protan: str, deutan: str, tritan: str
) -> None:
    for kind, seen in (("protan", protan), ("deutan", deutan), ("tritan", tritan)):
        assert _channels(simulate_machado(color, kind)) == pytest.approx(_channels(seen), abs=1)


@pytest.mark.parametrize("kind", ["protan", "deutan", "tritan"])
@given(color=COLORS)
def test_color_blind_vision_agrees_with_coloraide(color: str, kind: str) -> None:
    theirs = Color(color).filter(kind, method="machado", space="srgb-linear").convert("srgb").clip()
    ours = [value / 255 for value in _channels(simulate_machado(color, kind))]
    assert ours == pytest.approx(theirs.coords(), abs=1.01 / 255)


def _channels(color: str) -> list[int]:
    return [int(color[at : at + 2], 16) for at in (1, 3, 5)]


SHARMA_2005_TABLE_1 = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    ((50, 2.8361, -74.0200), (50, 0, -82.7485), 3.4412),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    ((50, -1.1848, -84.8006), (50, 0, -82.7485), 1.0000),
    ((50, -0.9009, -85.5211), (50, 0, -82.7485), 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, -1, 2), (50, 0, 0), 2.3669),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0009), 7.1792),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0010), 7.1792),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0011), 7.2195),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0012), 7.2195),
    ((50, -0.0010, 2.4900), (50, 0.0009, -2.4900), 4.8045),
    ((50, -0.0010, 2.4900), (50, 0.0010, -2.4900), 4.8045),
    ((50, -0.0010, 2.4900), (50, 0.0011, -2.4900), 4.7461),
    ((50, 2.5, 0), (50, 0, -2.5), 4.3065),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((50, 2.5, 0), (61, -5, 29), 22.8977),
    ((50, 2.5, 0), (56, -27, -3), 31.9030),
    ((50, 2.5, 0), (58, 24, 15), 19.4535),
    ((50, 2.5, 0), (50, 3.1736, 0.5854), 1.0000),
    ((50, 2.5, 0), (50, 3.2972, 0), 1.0000),
    ((50, 2.5, 0), (50, 1.8634, 0.5757), 1.0000),
    ((50, 2.5, 0), (50, 3.2592, 0.3350), 1.0000),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.2480, -4.9620), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]
"""Sharma, Wu & Dalal, Color Res Appl 2005;30:21-30, Table 1."""


@pytest.mark.parametrize(("one", "other", "difference"), SHARMA_2005_TABLE_1)
def test_color_difference_is_that_of_sharma(
    one: tuple[float, float, float], other: tuple[float, float, float], difference: float
) -> None:
    assert delta_e_2000(Lab(*one), Lab(*other)) == pytest.approx(difference, abs=5e-5)
    assert delta_e_2000(Lab(*other), Lab(*one)) == pytest.approx(difference, abs=5e-5)


@given(COLORS)
def test_lab_agrees_with_coloraide(color: str) -> None:
    assert list(lab_of(color)) == pytest.approx(Color(color).convert("lab-d65").coords(), abs=0.02)


@given(COLORS, COLORS)
def test_color_difference_agrees_with_coloraide(one: str, other: str) -> None:
    theirs = Color(one).delta_e(other, method="2000", space="lab-d65")
    assert color_difference(one, other) == pytest.approx(theirs, abs=0.02)
