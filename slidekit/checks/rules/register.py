"""All rules of `check`, by family."""

from slidekit.checks.rules import (
    accounts,
    care,
    languages,
    marks,
    materials,
    numbers,
    owing,
    reasoning,
    seeing,
    sides,
    terms,
    timing,
    values,
)

RULES = (
    *marks.RULES,
    *sides.RULES,
    *numbers.RULES,
    *values.RULES,
    *reasoning.RULES,
    *materials.RULES,
    *accounts.RULES,
    *terms.RULES,
    *timing.RULES,
    *seeing.RULES,
    *care.RULES,
    *languages.RULES,
    *owing.RULES,
)
"""In the order of the README's table."""

BY_NAME = {rule.name: rule for rule in RULES}
