import re

import pytest

from slidekit.checks.explain import explain_rule
from slidekit.checks.rules.register import BY_NAME, RULES
from slidekit.errors import RuleError

RULE = pytest.mark.parametrize("rule", RULES, ids=[rule.name for rule in RULES])


def test_no_two_rules_have_one_name():
    assert len(BY_NAME) == len(RULES)


@RULE
def test_a_rule_has_a_name_in_kebab_case(rule):
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", rule.name)


@RULE
def test_the_page_of_a_rule_says_what_why_what_instead_and_where_from(rule):
    _, found, *paragraphs = rule.page.split("\n\n")
    assert re.fullmatch(r"[A-Z].*\.", found)
    assert [p.split(":")[0] for p in paragraphs] == ["Why", "Instead", "Source"]


def test_a_rule_is_explained():
    assert explain_rule("early").startswith(
        "early (error)\n\nA mark spoken of before the click that brings it on.\n\nWhy: "
    )


def test_an_unknown_rule_is_answered_with_the_nearest():
    with pytest.raises(
        RuleError,
        match=r"^there is no rule `burned_inn`\. Ask for `burned-in` if you mean that; there are ",
    ):
        explain_rule("burned_inn")
