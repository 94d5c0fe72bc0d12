"""What the words say of other slides: `{later: talk/slide}` and `{earlier: slide}`.

Time has one direction: a fault, where a reference points the other way or nowhere.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import takewhile

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.glossing import NOTHING, Explained, explained_by
from slidekit.storyboard.names.naming import listed, nearest
from slidekit.storyboard.source import Source
from slidekit.storyboard.words import Reference, parse_words, references
from slidekit.wording import phrase, phrase_key

_WHEN = {"later": "earlier", "earlier": "later"}
_BY_SPEAKER = {
    "earlier": phrase_key("earlier, in the talk by {speaker}"),
    "later": phrase_key("later, in the talk by {speaker}"),
}
_BY_TITLE = {
    "earlier": phrase_key("earlier, in the talk “{title}”"),
    "later": phrase_key("later, in the talk “{title}”"),
}


@dataclass(frozen=True)
class Neighbours:
    """The talks of a programme in their order, as this one sees them."""

    own: str  # this talk's name in the programme
    talks: Mapping[str, Source]

    @property
    def names(self) -> list[str]:
        return list(self.talks)

    @property
    def explained(self) -> Explained:
        """The terms that the talks before this one explain."""
        before = (self.talks[name] for name in takewhile(self.own.__ne__, self.talks))
        return NOTHING.union(*(explained_by(one.slides, one.board) for one in before))


def with_references(source: Source, neighbours: Neighbours | None) -> Source:
    """The same talk; what it says of other talks in words, those of itself still to be spoken.

    Raises
    ------
    StoryboardError
        With every reference that points nowhere, or the wrong way in time.
    """
    faults: list[Fault] = []
    slides = []
    ids = [slide.id for slide in source.slides]
    for at, slide in enumerate(source.slides):
        say = slide.say
        for one in reversed(references(parse_words(say))):
            path = ("slides", at, "say")
            if complaint := _complaint(one, at, ids, neighbours):
                faults.append(source.places.fault_in_words(path, say[: one.at], *complaint))
            elif one.talk and neighbours is not None:
                end = say.index("}", one.at) + 1
                said = _said(one.when, neighbours.talks[one.talk])
                say = say[: one.at] + said + say[end:]
        slides.append(slide.model_copy(update={"say": say}) if say != slide.say else slide)
    if faults:
        raise StoryboardError(sorted(faults, key=lambda fault: fault.line))
    return replace(source, board=source.board.model_copy(update={"slides": tuple(slides)}))


def _complaint(
    one: Reference, at: int, ids: list[str], neighbours: Neighbours | None
) -> tuple[str, str] | None:
    """What is wrong with a reference on the slide `at`, and what to write instead."""
    written = f"{{{one.when}: {f'{one.talk}/' if one.talk else ''}{one.slide}}}"
    if not one.talk:
        return _about_slide(written, one, ids, at)
    if neighbours is None:
        wrong = f"{written} names another talk, and this one is in no programme"
        return wrong, "Add `programme:` under `talk`, with the path of the programme's file"
    if one.talk not in neighbours.talks:
        wrong = f"{written}: the programme has no talk `{one.talk}`"
        return wrong, f"Write one of {listed(neighbours.names)}"
    own, other = neighbours.names.index(neighbours.own), neighbours.names.index(one.talk)
    if own == other:
        wrong = f"{written} names this talk itself"
        return wrong, f"Write {{{one.when}: {one.slide}}}"
    if (one.when == "later") != (other > own):
        wrong = f"{written}: the talk `{one.talk}` comes {_WHEN[one.when]}"
        return wrong, f"Write {{{_WHEN[one.when]}: {one.talk}/{one.slide}}}"
    there = [slide.id for slide in neighbours.talks[one.talk].slides]
    return None if one.slide in there else _no_slide(written, one.slide, there)


def _about_slide(written: str, one: Reference, ids: list[str], at: int) -> tuple[str, str] | None:
    if one.slide not in ids:
        return _no_slide(written, one.slide, ids)
    other = ids.index(one.slide)
    if other == at:
        return f"{written} names the slide it stands on", "Name another slide, or remove it"
    if (one.when == "later") != (other > at):
        wrong = f"{written}: slide `{one.slide}` comes {_WHEN[one.when]}"
        return wrong, f"Write {{{_WHEN[one.when]}: {one.slide}}}"
    return None


def _no_slide(written: str, name: str, ids: list[str]) -> tuple[str, str]:
    meant = nearest(name, ids)
    instead = f"Write `{meant}` if you mean that; there are {listed(ids)}"
    return (
        f"{written}: there is no slide `{name}`",
        instead if meant else f"There are {listed(ids)}",
    )


def _said(when: str, talk: Source) -> str:
    """How another talk is spoken of; in brackets of the words where it has any."""
    about = talk.board.talk
    if about.speaker:
        said = phrase(_BY_SPEAKER[when], speaker=about.speaker)
    else:
        said = phrase(_BY_TITLE[when], title=about.title)
    for bracket in "[]{}":
        said = said.replace(bracket, bracket * 2)
    return said
