"""Rules about honesty and care: names, credit, the dead, and what the audience can take in."""

from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule


def find_burned_in(heard: Heard) -> Findings:
    """A scan that has, or may have, text in its pixels, or a view that draws overlays.

    Why: what may show a patient's name inside the picture cannot be left out with the attributes.

    Instead: look at the picture, crop the text away with `crop_mm`, or take another series. If
    there is no name in it, say so in `waive`.

    Source: DICOM PS3.3 C.7.6.1.1.5 (Burned In Annotation); PS3.15 E.3.1 (Clean Pixel Data).
    """
    for name, series in heard.series.items():
        if series.burned_in_text:
            text = f"scan `{name}` has, or may have, text in its pixels: look for names"
            yield Complaint(("scans", name), f"{text} before showing it", name)
    for name, sight in heard.sights.views.items():
        if sight.view.overlays and name in heard.source.board.views:
            text = f"view `{name}` draws what its files carry as overlays: look for names"
            yield Complaint(("views", name, "overlays"), f"{text} before showing it", name)


def find_idle_waivers(heard: Heard) -> Findings:
    """A waiver that meets nothing.

    Why: it was written for something that has since been mended, or its rule, slide or name is
    misspelt. Left there, it would hide the next fault of its kind.

    Instead: remove it, or write the rule, slide and name as `slidekit check` prints them.

    Source: common practice.
    """
    for i in heard.idle_waivers:
        waiver = heard.source.board.waive[i]
        where = f" on slide `{waiver.slide}`" if waiver.slide else ""
        about = f" about `{waiver.name}`" if waiver.name else ""
        text = f"rule `{waiver.rule}` has nothing to say{where}{about}: remove this waiver"
        yield Complaint(("waive", i), text)


WAIVER = Rule("waiver", "note", find_idle_waivers)
"""Looked at once the others have spoken."""

RULES = (Rule("burned-in", "error", find_burned_in), WAIVER)
