from math import inf

import pytest

from slidekit.errors import FitError
from slidekit.scans.measures.on_planes import Caution
from slidekit.scene.sights.readings import named, share_in_words, share_of_one
from tests.scene.builders import measured_area
from tests.scene.reading_builders import answer, band, contrast

RESIN, WAX, SAND = band("resin", -20, 50), band("wax", -100, -46), band("sand", 500, 1300)


def test_a_candidate_is_excluded_when_its_widened_band_is_clear_of_the_middle_90_percent():
    # measured -3 to 37; the upper end of wax is -46 + 10 + 4.6
    found = answer(WAX, RESIN, SAND)
    assert found.measured == (-3, 37)
    assert (found.remaining, found.excluded) == (("resin",), ("wax", "sand"))


def test_a_band_that_only_touches_is_not_excluded():
    touching = -13 / 0.9  # widened by 10 HU and a tenth of itself it ends at -3
    assert answer(band("near", -100, touching + 0.01)).remaining == ("near",)
    assert answer(band("near", -100, touching - 0.01)).remaining == ()


def test_the_sentence_says_what_is_excluded_and_what_remains():
    assert answer(WAX, RESIN, SAND).sentence == (
        "the CT numbers exclude wax and sand; resin remains possible"
    )


def test_what_is_not_excluded_is_no_name():
    said = answer(RESIN).sentence
    assert said == "the CT numbers exclude nothing here: resin may fit"


def test_nothing_may_remain():
    found = answer(WAX, SAND)
    assert found.sentence == (
        "the CT numbers exclude wax and sand: of the candidates, nothing remains"
    )
    assert found.say("remain") == "none of them"


def test_all_may_remain():
    found = answer(RESIN, band("tar", -30, 40))
    assert found.sentence == "the CT numbers exclude nothing here: both candidates may fit"
    assert found.say("excluded") == "none of them"


def test_many_that_remain_are_counted_in_the_sentence_and_named_in_words():
    found = answer(*(band(f"resin_{i}", -20, 50) for i in range(9)), WAX)
    assert found.sentence == "the CT numbers exclude 1 of 10 candidates; 9 remain possible"
    assert found.say("remain").count("resin") == 9


def test_the_measured_range_is_open_where_many_samples_are_clipped():
    metal = measured_area(n=500, mean=2900, sd=100, clipped=40, clipped_at_top=40)
    found = answer(band("bronze", 50_000, 90_000), mean=2900, sd=100, measure=metal)
    assert found.measured == (2700, inf)
    assert found.remaining == ("bronze",)


def test_a_few_clipped_samples_leave_the_range_closed():
    metal = measured_area(n=500, mean=2700, sd=100, clipped=25, clipped_at_top=25)
    assert answer(RESIN, mean=2700, sd=100, measure=metal).measured == (2500, 2900)


def test_air_at_the_lower_end_opens_the_range_downwards():
    air = measured_area(n=500, mean=-1000, sd=10, clipped=400, clipped_at_top=0)
    assert answer(RESIN, mean=-1000, sd=10, measure=air).measured == (-inf, -980)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("thin", "it is thinner than two pixels"),
        ("extremes", "its values are the greatest through 4 mm, not what is there"),
    ],
)
def test_nothing_is_excluded_where_no_sample_shows_what_is_there(kind, text):
    veiled = measured_area(mean=17, sd=10, cautions=(Caution(kind, text),))
    found = answer(WAX, RESIN, SAND, measure=veiled, mix=(WAX, RESIN))
    assert found.remaining == ("wax", "resin", "sand")
    assert found.sentence == f"the CT numbers exclude nothing here: {text}"
    assert found.share == (0, 100)


def test_samples_on_the_edge_leave_the_verdict_to_the_others():
    edge = measured_area(mean=17, sd=10, cautions=(Caution("edge", "60% lie on its edge"),))
    assert answer(WAX, RESIN, measure=edge).remaining == ("resin",)


def test_a_mixture_is_told_as_what_would_fit():
    found = answer(RESIN, mix=(WAX, RESIN))
    assert found.mixture == "up to 67\N{NO-BREAK SPACE}% of wax by volume in resin would fit"
    assert found.say("share") == "up to 67\N{NO-BREAK SPACE}%"
    assert answer(RESIN).mixture == ""


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (None, "no share"),
        ((0, 100), "any share"),
        ((0, 45), "up to 45 %"),
        ((30, 100), "30 % or more"),
        ((30, 45), "30 to 45 %"),
        ((0, 0), "nothing"),
    ],
)
def test_shares_are_said_plainly(share, words):
    assert share_in_words(share).replace("\N{NO-BREAK SPACE}", " ") == words


def test_the_energy_says_where_it_comes_from():
    assert answer(RESIN).energy_in_words == "70 keV (57 to 75), from 120 kV"
    assert answer(RESIN, tube_kv=None).energy_in_words == "70 keV (57 to 75), as stated"


def test_a_warning_is_said_where_there_is_one():
    warned = measured_area(cautions=(Caution("few", "only 12 samples lie in it"),))
    assert answer(RESIN, measure=warned).say("warning") == "only 12 samples lie in it"
    with pytest.raises(FitError, match="nothing speaks against its numbers"):
        answer(RESIN).say("warning")


@pytest.mark.parametrize(
    ("part", "said"),
    [
        ("", "80 HU (95 % interval 76 to 84)"),
        ("difference", "80 HU"),
        ("interval", "76 to 84 HU"),
        ("effect", "8.0 standard deviations"),
        ("overlap", "less than 1 %"),
        ("called", "Seal and mend"),
    ],
)
def test_a_contrast_is_said_in_numbers(part, said):
    assert contrast().say(part).replace("\N{NO-BREAK SPACE}", " ") == said


def test_values_without_a_unit_have_none_in_words():
    measures = tuple(measured_area(mean=mean, unit="") for mean in (0.5, 0.2))
    found = contrast((0.5, 0.1), (0.2, 0.1), measures=measures)
    assert found.say("difference") == "0.300"


def test_a_contrast_warns_of_both_regions():
    few = measured_area(cautions=(Caution("few", "only 12 samples lie in it"),))
    found = contrast(measures=(few, measured_area()))
    assert found.say("warning") == "only 12 samples lie in it, in the one"


def test_a_contrast_says_what_its_samples_are_worth():
    assert contrast().worth == (
        "Worth as independent samples: the one 50 of 100, the other 50 of 100."
    )


@pytest.mark.parametrize(
    ("names", "most", "said"),
    [
        (["a"], None, "a"),
        (["a", "b"], None, "a and b"),
        (["a", "b", "c"], 3, "a, b and c"),
        (["a", "b", "c", "d"], 3, "a, b and 2 more"),
    ],
)
def test_names_stand_in_a_sentence(names, most, said):
    assert named(names, most) == said


@pytest.mark.parametrize(
    ("share", "words"), [(0.004, "less than 1 %"), (0.06, "6 %"), (1, "100 %")]
)
def test_a_small_share_is_not_nothing(share, words):
    assert share_of_one(share).replace("\N{NO-BREAK SPACE}", " ") == words
