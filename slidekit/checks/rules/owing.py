"""Rules about what a talk owes to others: credit, rights, permission, and the sources it cites."""

import re
from collections.abc import Iterator

from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.storyboard.needs import cited_in, cited_on_slides
from slidekit.storyboard.scans import Scan
from slidekit.storyboard.slides import CreditsSlide

_NOTHING = re.compile(
    r"[?.…*_\s-]*|n\.?/?a\.?|tb[acd]|to be (?:added|confirmed|done)|todo|x+|unknown|unclear"
    r"|none|no|credits?|rights|licen[cs]e|copyright|write here .*",
    re.IGNORECASE,
)
_INSTEAD = {
    "credit": "name whoever made or owns it",
    "rights": "name the rights, or write CNE (copyright not evaluated)",
}


def find_empty_credits(heard: Heard) -> Findings:
    """A scan whose credit or rights say nothing.

    Why: the line is printed with every picture, and on a panel it may hang for years. "Unknown" or
    a question mark credits nobody, and tells nobody whom to ask.

    Instead: name whoever made or owns the scan. Where the rights are not known, say so with CNE
    (Copyright Not Evaluated) or UND (Copyright Undetermined), which are made for that.

    Source: RightsStatements.org, Statements for other rights situations (from memory).
    """
    for name, scan in _shown_scans(heard):
        for field, instead in _INSTEAD.items():
            written = getattr(scan, field)
            if _NOTHING.fullmatch(written):
                text = f"“{written}” of scan `{name}` says nothing: {instead}"
                yield Complaint(("scans", name, field), text, name)


def find_open_permissions(heard: Heard) -> Findings:
    """A picture that nobody has allowed to be shown yet.

    Why: permission that has been asked for is not permission; and what is in copyright needs it,
    unless a licence or the law allows the use.

    Instead: wait for the answer and write `permission: granted` with a note of who gave it, when
    and for what; or `permission: not needed`, and why, in `permission_note`.

    Source: RightsStatements.org, In Copyright (InC 1.0): "you need to obtain permission from the
    rights-holder(s)" for other uses (from memory).
    """
    for name, scan in _shown_scans(heard):
        if scan.permission == "asked":
            text = f"permission to show scan `{name}` has been asked for, and is not there yet"
            yield Complaint(("scans", name, "permission"), text, name)
        elif scan.permission is None and scan.statement.needs_leave:
            text = f"scan `{name}` is in copyright, and nothing says that it may be shown: add"
            yield Complaint(("scans", name, "rights"), f"{text} `permission`", name)


def find_changed_pictures(heard: Heard) -> Findings:
    """A scan whose licence allows no derivatives.

    Why: pictures here are windowed, cut and marked. Shared with others, in a deck or on a wall,
    they may be adapted material, which such a licence does not allow.

    Instead: ask the owner, and write `permission: granted`; or take a scan with another licence.

    Source: Creative Commons Attribution-NoDerivatives 4.0, sections 1(a) and 2(a)(1) (from memory).
    """
    for name, scan in _shown_scans(heard):
        if scan.statement.forbids_changes and scan.permission not in ("granted", "not needed"):
            text = f"{scan.statement.short} of scan `{name}` allows no derivatives, and marked"
            text += " pictures are some: ask its owner, and write `permission: granted`"
            yield Complaint(("scans", name, "rights"), text, name)


def find_sold_pictures(heard: Heard) -> Findings:
    """A panel with a scan that may not be used commercially.

    Why: a panel may hang where an entrance fee is paid, and be printed in a catalogue or sold as a
    poster. Whether that is commercial use is for the owner to say.

    Instead: ask the owner, and write `permission: granted` with a note of what for.

    Source: Creative Commons Attribution-NonCommercial 4.0, section 1(i) (from memory).
    """
    board = heard.source.board
    for panel_name, panel in board.panels.items():
        for name in dict.fromkeys(board.views[shown.view].scan for shown in panel.views):
            scan = board.scans[name]
            if scan.statement.forbids_sale and scan.permission not in ("granted", "not needed"):
                text = (
                    f"{scan.statement.short} of scan `{name}` forbids commercial use: ask its owner"
                )
                text += " whether the panel may hang where a fee is paid"
                yield Complaint(("panels", panel_name), text, name)


def find_unlisted_sources(heard: Heard) -> Findings:
    """Sources that are cited, and no slide lists them.

    Why: "Moor 2019" helps only somebody who can look up what that is.

    Instead: add a slide of `kind: credits`; it lists in full what is cited.

    Source: The Chicago Manual of Style, 18th edition, 13.102 (from memory).
    """
    board = heard.source.board
    cited = sorted(cited_on_slides(board))
    if cited and not any(isinstance(slide, CreditsSlide) for slide in board.slides):
        text = f"source `{cited[0]}` is cited, and there is no `credits` slide to list it"
        yield Complaint(("sources", cited[0]), text, cited[0])


def find_uncited_sources(heard: Heard) -> Findings:
    """A source that nothing cites.

    Why: it is not listed with the credits, whatever rests on it; and its year may give another
    work a letter (2019b) that nobody understands.

    Instead: cite it with its name in braces, as a `source` or as evidence; or remove it.

    Source: common practice.
    """
    board = heard.source.board
    cited = cited_on_slides(board).union(*(cited_in(p, board) for p in board.panels.values()))
    for name in board.sources:
        if name not in cited:
            yield Complaint(("sources", name), f"source `{name}` is never cited", name)


def _shown_scans(heard: Heard) -> Iterator[tuple[str, Scan]]:
    """The scans that slides and panels show."""
    board = heard.source.board
    shown = [board.views[s.view].scan for p in board.panels.values() for s in p.views]
    return ((name, board.scans[name]) for name in dict.fromkeys([*heard.series, *shown]))


RULES = (
    Rule("credit", "error", find_empty_credits),
    Rule("permission", "warning", find_open_permissions),
    Rule("no-derivatives", "warning", find_changed_pictures),
    Rule("commercial-use", "note", find_sold_pictures),
    Rule("unlisted-source", "warning", find_unlisted_sources),
    Rule("uncited-source", "note", find_uncited_sources),
)
