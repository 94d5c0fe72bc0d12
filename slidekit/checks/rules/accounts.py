"""Rules about a reference account: what is said to be so is shown, what is said to be missing is
reasoned."""

from collections.abc import Iterator

from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.storyboard.account import SEEN, Stages
from slidekit.storyboard.names.lookup import definitions
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.showing import shown_by
from slidekit.storyboard.slides import CompareSlide
from slidekit.storyboard.words import parse_words


def find_unshown_stages(heard: Heard) -> Findings:
    """A stage that is said to be seen in this case, and nothing before shows it.

    Why: "as described" and "differs" are claims about this case. The audience can only judge them
    if it has seen what they rest on, on an earlier slide or on the same one.

    Instead: name in `by` what shows the stage, and show that first; or answer `not assessable`.

    Source: common practice.
    """
    stages = Stages(heard.source.board.account)
    defined = definitions(heard.source.board)
    evident: set[str] = set()
    for path, told in heard.slides:
        evident |= set(shown_by(told.slide, defined))
        for at, name in _compared(path, told.slide, heard):
            stage = stages.known[name]
            late = [f"`{one}`" for one in stage.rests_on if one not in evident]
            if stage.here in SEEN and not stage.by:
                text = f"stage `{name}` is said to be `{stage.here}`, and `by` names nothing"
                yield Complaint(("account", "stages", name), text, name)
            elif stage.here in SEEN and late:
                text = f"stage `{name}` rests on {', '.join(late)}, which no slide before shows"
                yield Complaint(at, text, name)


def find_unreasoned_absence(heard: Heard) -> Findings:
    """A stage that is said to be absent, and not why.

    Why: "not there" is more than "not seen". The audience must hear whether the scan would have
    shown it.

    Instead: write the reason in `note`, or answer `not assessable`.

    Source: common practice (absence of evidence is not evidence of absence).
    """
    for name, stage in Stages(heard.source.board.account).known.items():
        if stage.here == "absent" and not stage.note:
            text = f"stage `{name}` is said to be absent, and `note` does not say why"
            yield Complaint(("account", "stages", name, "here"), text, name)


def find_unspoken_stages(heard: Heard) -> Findings:
    """A stage on the screen that the words never speak of.

    Why: the audience reads every row and waits to hear what it means.

    Instead: speak of it, as in [show pyre] or {pyre.here}, or leave it out of `stages`.

    Source: common practice.
    """
    for path, told in heard.slides:
        spoken = {name for name, _ in mentions(parse_words(told.slide.say))}
        for at, name in _compared(path, told.slide, heard):
            if name not in spoken:
                text = f"stage `{name}` is on the slide, and the words never speak of it"
                yield Complaint(at, text, name)


def _compared(path: FieldPath, slide: object, heard: Heard) -> Iterator[tuple[FieldPath, str]]:
    """The stages of a compare slide, and where it asks for them."""
    if isinstance(slide, CompareSlide):
        for i, name in enumerate(Stages(heard.source.board.account).chosen(slide.stages)):
            yield (*path, "stages", i), name


RULES = (
    Rule("unshown-stage", "error", find_unshown_stages),
    Rule("unreasoned-absence", "error", find_unreasoned_absence),
    Rule("unspoken-stage", "warning", find_unspoken_stages),
)
