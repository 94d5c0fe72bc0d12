import pytest

from tests.storyboard.boards import BOARD, spoiled
from tests.storyboard.names.test_faults import found

FINDING = (
    "  sealed: {statement: The mouth was closed, certainty: observed, evidence: [coil, late]}\n"
)
OTHERS = (
    "  dated: {statement: It is old, certainty: observed, evidence: [sealed, late]}\n"
    "  bent: {statement: It is bent, certainty: possible, evidence: [coil.mean, dated]}\n"
)
ALL = spoiled(FINDING, FINDING + OTHERS).replace(
    "findings: [sealed]}", "findings: [sealed, dated, bent]}"
)


def test_a_finding_may_rest_on_others_of_its_slide_and_on_measured_values(tmp_path):
    assert found(tmp_path, ALL) == []


def test_a_finding_that_no_slide_tells_cannot_be_built_on(tmp_path):
    assert found(tmp_path, spoiled("[sealed, dated, bent]", "[sealed, bent]", ALL)) == [
        "31: findings.bent.evidence[1]: no slide shows `dated`, on which this finding rests. Show"
        " it on a slide before, or remove it from the evidence."
    ]


@pytest.mark.parametrize(
    ("evidence", "message"),
    [
        (
            "[coil, bent]",
            "29: findings.sealed.evidence: findings rest on each other in a circle: sealed, bent,"
            " dated, sealed. Let one of them rest on what slides show, and not on the others.",
        ),
        (
            "[coil, sealed]",
            "29: findings.sealed.evidence: `sealed` rests on itself. Name what slides show"
            " instead.",
        ),
        (
            "[coil.length]",
            "29: findings.sealed.evidence[0]: `coil.length` is no evidence. Write one of `coil`,"
            " `coil.mean`, `coil.sd`, `coil.median`, `coil.min`, `coil.max`, `coil.n`, `coil.area`,"
            " `coil.perimeter`, `coil.feret`.",
        ),
        (
            "[late.mean]",
            "29: findings.sealed.evidence[0]: `late.mean` is no evidence. Write `late`.",
        ),
    ],
)
def test_evidence_that_is_none_is_told_once(tmp_path, evidence, message):
    assert found(tmp_path, spoiled("[coil, late]", evidence, ALL)) == [message]


def test_how_certain_a_finding_is_may_be_said(tmp_path):
    assert found(tmp_path, spoiled("in {late}.", "{sealed.certainty}.")) == []
    assert found(tmp_path, spoiled("in {late}.", "{sealed}.")) == [
        "55: slides[3].say: {sealed} is not known. Write {sealed.certainty}."
    ]


def test_the_board_of_these_tests_is_the_common_one():
    assert FINDING in BOARD
