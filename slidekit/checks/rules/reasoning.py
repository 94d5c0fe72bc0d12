"""Rules about reasoning: findings, and the words that conclude."""

from slidekit.checks.english.conclusions import find_too_strong
from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.evidence.certainty import Link, is_too_strong, weakest
from slidekit.scene.links import Evidence, told_findings
from slidekit.storyboard.findings import Finding


def find_weak_links(heard: Heard) -> Findings:
    """A finding that is surer than the weakest thing it rests on.

    Why: a chain holds what its weakest link holds. An audience that finds the weak link doubts the
    rest of the talk too.

    Instead: call it no surer than that link, rest it on something better, or say under `although`
    why it holds all the same, for instance because several strands say so independently; the slide
    shows the reason.

    Source: the weakest link principle (J. L. Pollock, Artificial Intelligence 133, 2001, 233-282;
    from memory); how much each kind of evidence carries, with the sources of its limits, stands in
    the README under `findings`.
    """
    evidence = Evidence(heard.source.board, heard.sights, heard.tallies)
    for name, finding in _told_findings(heard).items():
        link = weakest(evidence.links_of(finding))
        if link is None or finding.although or not is_too_strong(finding.certainty, link.strength):
            continue
        text = f"`{name}` is called {finding.certainty}, and {_too_weak(link)}"
        yield Complaint(("findings", name, "certainty"), text, name)


def _too_weak(link: Link) -> str:
    carries, because = link.strength.carries, link.strength.because
    if carries is None:
        return (
            f"{link.called} carries no conclusion: {because}. Leave it out of the evidence, or"
            " write `certainty: cannot be shown`"
        )
    return (
        f"{link.called} carries no more than {carries}: {because}. Write `certainty: {carries}`,"
        " or say under `although` why it holds all the same"
    )


def find_hidden_alternatives(heard: Heard) -> Findings:
    """A finding that is not certain, and nothing is said of what else may be.

    Why: what is only probable or possible leaves room for something else, and what cannot be shown
    lies between several things. An audience that is told of none takes the one it hears for
    settled.

    Instead: name what speaks against it under `against`, or what may be instead under
    `alternatives`; the slide shows both.

    Source: multiple working hypotheses (T. C. Chamberlin, Science 15 (366), 1890, 92-96; from
    memory).
    """
    for name, finding in _told_findings(heard).items():
        sure = finding.certainty in ("observed", "almost certain")
        if not sure and not finding.against and not finding.alternatives:
            text = (
                f"`{name}` is called {finding.certainty}, and nothing says what else may be: add"
                " `alternatives`, or what speaks `against` it"
            )
            yield Complaint(("findings", name), text, name)


def find_strong_words(heard: Heard) -> Findings:
    """Words that make a finding surer than it is called on its slide.

    Why: the audience remembers "proves", and not the small word beside the statement.

    Instead: say {NAME.certainty}, or a weaker word; or call the finding surer, if it is.

    Source: common practice; the order of the words is that of S. Kent, Words of Estimative
    Probability, Studies in Intelligence 8 (1964), 49-65 (from memory).
    """
    findings = _told_findings(heard)
    for name, finding in findings.items():
        for found in find_too_strong(finding.statement, {name: finding}):
            text = f"“{found.said}” is stated of `{name}`, which is called {finding.certainty}"
            yield Complaint(("findings", name, "statement"), text, name)
    for path, told in heard.slides:
        for found in find_too_strong(told.speech.text, findings):
            certainty = findings[found.finding].certainty
            text = (
                f"“{found.said}” is said of `{found.finding}`, which is called {certainty}: say"
                f" {{{found.finding}.certainty}}, or a weaker word"
            )
            yield Complaint((*path, "say"), text, found.finding)


def _told_findings(heard: Heard) -> dict[str, Finding]:
    return told_findings((told.slide for _, told in heard.slides), heard.source.board)


RULES = (
    Rule("weak-link", "error", find_weak_links),
    Rule("hidden-alternative", "warning", find_hidden_alternatives),
    Rule("strong-word", "warning", find_strong_words, english_only=True),
)
