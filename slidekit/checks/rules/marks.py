"""Rules about words and marks: what is pointed out is spoken of, at the right moment."""

from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.storyboard.slides import ScanSlide
from slidekit.storyboard.words import parse_words


def find_unspoken(heard: Heard) -> Findings:
    """A region on the screen that the words never speak of.

    Why: the audience looks at every mark and waits to hear what it means. A mark without a word
    takes their eyes from what is being said.

    Instead: speak of it, as in {coil.mark} or [show coil], or take the region off the slide.

    Source: common practice.
    """
    for path, told in heard.slides:
        if not isinstance(told.slide, ScanSlide):
            continue
        spoken = {name for name, _ in mentions(parse_words(told.slide.say))}
        for j, view in enumerate(told.slide.views):
            for name in view.regions:
                if name not in spoken:
                    text = f"region `{name}` is on the slide, and the words never speak of it"
                    yield Complaint((*path, "views", j, "regions"), text, name)


def find_early(heard: Heard) -> Findings:
    """A mark spoken of before the click that brings it on.

    Why: the audience hears "the orange ellipse", looks for it, and it is not there yet.

    Instead: move the click before the words, as in [show coil] {coil.mark}.

    Source: common practice.
    """
    for path, told in heard.slides:
        shown: set[str] = set()
        cued = set(told.speech.cast.steps)
        for name, part in mentions(parse_words(told.slide.say)):
            if part == "show":
                shown.add(name)
            elif part in {"mark", "letter"} and name in cued - shown:
                text = f"{{{name}.{part}}} is spoken before [show {name}] brings it on"
                yield Complaint((*path, "say"), text, name)


RULES = (
    Rule("unspoken", "warning", find_unspoken),
    Rule("early", "error", find_early),
)
