"""The page of reasons of one rule."""

from slidekit.checks.rules.register import BY_NAME
from slidekit.errors import RuleError
from slidekit.storyboard.names.naming import nearest


def explain_rule(name: str) -> str:
    """What the rule finds, why, what to do instead, and where it comes from.

    Raises
    ------
    RuleError
        If there is no such rule.
    """
    if rule := BY_NAME.get(name):
        return f"{rule.page}\n"
    meant = nearest(name, [one.replace("-", "_") for one in BY_NAME])
    asked = f"Ask for `{meant.replace('_', '-')}` if you mean that" if meant else "Ask for another"
    raise RuleError(f"there is no rule `{name}`", f"{asked}; there are {', '.join(BY_NAME)}")
