"""Small storyboards with one planted fault each, and their sound twins, through the whole check.

Every fault is found, and by its own rule alone; no twin is complained of. `-s` prints both rates.
"""

import pytest

from slidekit.checks.rules.register import RULES
from slidekit.errors import StoryboardError
from slidekit.review import check_talk
from tests.corpus.patching import CASES, FOLDER, storyboard, write_scans
from tests.talks import no_progress


@pytest.fixture(scope="session")
def scans(tmp_path_factory):
    folder = tmp_path_factory.mktemp("corpus")
    write_scans(folder)
    return folder


@pytest.fixture(scope="session")
def rates(request):
    """Found faults and false alarms, printed at the end."""
    found: dict[str, list[bool]] = {"faults found": [], "twins without a false alarm": []}
    yield found
    for what, outcomes in found.items():
        print(f"\ncorpus: {what}: {sum(outcomes)} of {len(outcomes)}")


def check(folder, *patches) -> list[str]:
    """The rules that complain."""
    path = folder / "talk.yaml"
    path.write_text(storyboard(*patches), encoding="utf-8")
    return [str(one) for one in check_talk(path, None, no_progress).remarks]


def rule_of(remark: str) -> str:
    return remark.split(": ")[2]


def by_name(case) -> str:
    return f"{case['family']}: {case.get('rule', 'refused')}: {case['about']}"


@pytest.mark.parametrize("case", CASES, ids=by_name)
def test_a_planted_fault_is_found(scans, rates, case):
    if "refused" in case:
        with pytest.raises(StoryboardError) as refusal:
            check(scans, case.get("both"), case["fault"])
        found, is_found = [str(refusal.value)], case["refused"] in str(refusal.value)
    else:
        found = check(scans, case.get("both"), case["fault"])
        is_found = {rule_of(one) for one in found} == {case["rule"]}
    rates["faults found"].append(is_found)
    assert is_found, found


@pytest.mark.parametrize("case", CASES, ids=by_name)
def test_its_sound_twin_has_nothing_to_look_at_again(scans, rates, case):
    found = check(scans, case.get("both"), case["sound"])
    rates["twins without a false alarm"].append(not found)
    assert found == []


def test_the_base_is_sound(scans):
    assert check(scans) == []


def test_there_are_sixty_faults_and_more():
    assert len(CASES) >= 60


def test_every_rule_has_a_planted_fault():
    # nothing that an author may write makes a faulty deck: tests/checks/test_deck.py spoils some
    assert {rule.name for rule in RULES} - {case.get("rule") for case in CASES} == {"deck"}


def test_words_that_only_look_like_a_fault_are_left_alone(scans):
    words: dict[str, list[str]] = {}
    for line in (FOLDER / "sound-words.txt").read_text(encoding="utf-8").splitlines():
        if line.endswith(":"):
            said = words.setdefault(f"slides.{line[:-1]}.say", [])
        else:
            said.append(line)
    say = {path: "\n".join(lines) for path, lines in words.items()}
    assert sum(map(len, words.values())) >= 80
    assert check(scans, {**say, "talk.slot_min": 30, "talk.words_per_min": 160}) == []
