from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scene.shorter.solve import Loss, Option, choose, shortest

NAMES = ("a", "b", "c")


def option(ms: int, words: int = 0, **more) -> Option:
    facts = {"kept": True, "offers": frozenset(), "needs": frozenset()} | more
    return Option(left_out=frozenset(), ms=ms, loss=Loss(0, words), **facts)


def test_nothing_goes_while_there_is_time():
    whole, short = option(10), option(5, 3)
    assert choose([(whole, short)] * 3, 30) == (whole, whole, whole)


def test_what_should_stay_stays_while_enough_may_go():
    dear = Option(True, frozenset(), 0, Loss(1, 0), frozenset(), frozenset())
    cheap = option(0, 1000)
    whole = option(10)
    assert choose([(whole, dear), (whole, cheap)], 10) == (whole, cheap)


def test_what_a_later_slide_needs_stays_with_it():
    shows = option(10, offers=frozenset("a"))
    gone = option(0, 1)
    leans, falls = option(10, needs=frozenset("a")), option(0, 5)
    other, without = option(10), option(0, 3)
    slides = [(shows, gone), (leans, falls), (other, without)]
    assert choose(slides, 20) == (shows, leans, without)


def test_nothing_is_chosen_where_nothing_fits():
    assert choose([(option(10),), (option(5),)], 14) is None


def options_of_a_slide() -> st.SearchStrategy[tuple[Option, ...]]:
    names = st.frozensets(st.sampled_from(NAMES), max_size=2)
    loss = st.builds(Loss, st.integers(0, 3), st.integers(0, 9))
    one = st.builds(
        Option, st.booleans(), st.just(frozenset()), st.integers(0, 20), loss, names, names, names
    )
    return st.lists(one, min_size=1, max_size=3).map(tuple)


def holds(chosen: tuple[Option, ...]) -> bool:
    offered: set[str] = set()
    everything = frozenset().union(*(one.offers for one in chosen))
    for one in chosen:
        if not (one.needs <= offered and one.awaits <= everything):
            return False
        offered |= one.offers
    return True


def total(chosen: tuple[Option, ...]) -> tuple[int, int]:
    return sum(one.loss.should for one in chosen), sum(one.loss.may for one in chosen)


@settings(max_examples=60)
@given(st.lists(options_of_a_slide(), min_size=1, max_size=5), st.integers(0, 60))
def test_no_choice_that_holds_loses_less(slides, most_ms):
    # every combination, tried one by one
    possible = [
        chosen
        for chosen in product(*slides)
        if holds(chosen) and sum(one.ms for one in chosen) <= most_ms
    ]
    found = choose(slides, most_ms)
    if not possible:
        assert found is None
        return
    assert found is not None
    assert holds(found)
    assert sum(one.ms for one in found) <= most_ms
    assert total(found) == min(map(total, possible))


@given(st.lists(options_of_a_slide(), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_nothing_fits_into_less_than_the_shortest_choice(slides):
    slides = [(*options, option(5, 0)) for options in slides]
    least_ms = sum(one.ms for one in shortest(slides))
    assert choose(slides, least_ms) is not None
    assert choose(slides, least_ms - 1) is None
