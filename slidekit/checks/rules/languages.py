"""Rules about the language of a talk."""

from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.wording import has_words


def find_untranslated(heard: Heard) -> Findings:
    """A text that is not in the language that the talk is built in.

    Why: one sentence in another language is heard more than all the others, and on a printed panel
    it stays for years.

    Instead: give the text in that language too: `{en: The coil, de: Die Spirale}`. What is the same
    in every language, a name for instance, is waived.

    Source: common practice.
    """
    language = heard.source.board.talk.language
    if not has_words(language):
        text = (
            f"slidekit has no words of its own in `{language}`: what it adds to slides is English"
        )
        yield Complaint(("talk", "language"), text)
    for path in heard.source.untranslated:
        yield Complaint(path, f"this text is not given in `{language}`")


RULES = (Rule("untranslated", "warning", find_untranslated),)
