"""Rules about reasoning: findings, the words that conclude, terms that need an explanation."""

from slidekit.checks.rules.rule import Rule

RULES: tuple[Rule, ...] = ()
