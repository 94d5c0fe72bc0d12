"""Rules about words and marks: what is pointed out is spoken of, as it is, at the right moment."""

from collections.abc import Iterator

from slidekit.checks.english.marks import (
    NamedMark,
    counted_things,
    head_noun,
    named_marks,
    singular,
)
from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.checks.written import Sentence, printed_on, sentences
from slidekit.scene.compose import Told
from slidekit.storyboard.places import FieldPath
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


def find_missing_marks(heard: Heard) -> Findings:
    """A mark typed into the words that is not on the screen at that moment.

    Why: "the purple ellipse" stays in the words when the region takes another colour, or leaves the
    slide, and then the audience looks for what is not there. Only words that can mean nothing but a
    mark are looked at: a colour with a shape, a shape with a letter, or "the arrow" where no arrow
    is; not on photographs, which have coloured lines of their own.

    Instead: write {coil.mark}, which says what is drawn; or move the click before it.

    Source: common practice.
    """
    for path, told in heard.slides:
        if not isinstance(told.slide, ScanSlide) or _has_color_picture(heard, told.slide):
            continue
        for sentence in sentences(told.slide.say):
            for mark in named_marks(sentence.typed):
                if wrong := _lack_of(mark, sentence, heard, told):
                    yield Complaint((*path, "say"), wrong, before=sentence.before)


def _has_color_picture(heard: Heard, slide: ScanSlide) -> bool:
    return any(heard.sights.views[one.view].picture.pixels.ndim == 3 for one in slide.views)


def _lack_of(mark: NamedMark, sentence: Sentence, heard: Heard, told: Told) -> str:
    """Why a mark cannot be seen when its words are spoken; "" if it can."""
    regions = {name: heard.sights.regions[name] for name in told.speech.cast.letters}
    shapes = {name: heard.source.board.regions[name].shape for name in regions}
    letters = told.speech.cast.letters
    fitting = [
        name for name, one in regions.items() if mark.fits(one.spoken, shapes[name], letters[name])
    ]
    if not mark.color and not mark.letter:
        called = " ".join((told.page.title, *(one.called for one in regions.values()))).lower()
        if fitting or mark.shape in called:
            return ""
    hidden = set(told.speech.cast.steps) - sentence.clicked
    if any(name not in hidden for name in fitting):
        return ""
    if fitting:
        return f"“{mark.words}” is said before [show {fitting[0]}] brings it on"
    there = ", ".join(f"{one.spoken} {letters[name]}" for name, one in regions.items()) or "no mark"
    return f"“{mark.words}” is said, and the slide has {there}: write {{NAME.mark}} instead"


def find_miscounted(heard: Heard) -> Findings:
    """A number of things said or printed that the marks of the slide contradict.

    Why: the audience counts along. "Four bands", and three outlines: which of them is wrong?
    Compared are only things that `called` names, and a number counts as right when it is that of
    all marks, of those on the screen by then, or of those of one click, and where the right number
    is said or printed too.

    Instead: say how many are marked, or mark them all.

    Source: common practice.
    """
    for path, told in heard.slides:
        if not isinstance(told.slide, ScanSlide):
            continue
        marked = _marked_things(heard, told)
        told_of = list(_numbers_told(path, told, set(marked)))
        for noun, by_region in marked.items():
            total = sum(by_region.values())
            said = [one for one in told_of if one[2] == noun]
            if total < 2 or any(number == total for _, number, _, _ in said):
                continue
            for field, number, _, sentence in said:
                if number not in _countable(by_region, told, sentence):
                    text = f"“{number} {noun}s” are told, and slide `{told.slide.id}` marks {total}"
                    yield Complaint(field, text, before=sentence.before)


def _marked_things(heard: Heard, told: Told) -> dict[str, dict[str, int]]:
    """Noun: how many of them each region is."""
    marked: dict[str, dict[str, int]] = {}
    for name in told.speech.cast.letters:
        number, noun = head_noun(heard.sights.regions[name].called)
        marked.setdefault(noun, {})[name] = number
    return marked


def _numbers_told(
    path: FieldPath, told: Told, nouns: set[str]
) -> Iterator[tuple[FieldPath, int, str, Sentence]]:
    fields = [(("say",), told.slide.say), *printed_on(told.slide)]
    for below, text in fields:
        for sentence in sentences(text):
            for number, words in counted_things(sentence.typed, printed=below != ("say",)):
                if noun := next((singular(word) for word in words if singular(word) in nouns), ""):
                    yield (*path, *below), number, noun, sentence


def _countable(by_region: dict[str, int], told: Told, sentence: Sentence) -> set[int]:
    """The numbers that somebody may mean when the sentence is spoken."""
    steps = told.speech.cast.steps
    by_click: dict[int, int] = {}
    for name, number in by_region.items():
        by_click[steps.get(name, 0)] = by_click.get(steps.get(name, 0), 0) + number
    there = sum(n for name, n in by_region.items() if name not in steps or name in sentence.clicked)
    return {there, *by_click.values(), *by_region.values()}


RULES = (
    Rule("unspoken", "warning", find_unspoken),
    Rule("early", "error", find_early),
    Rule("no-such-mark", "error", find_missing_marks, english_only=True),
    Rule("miscounted", "warning", find_miscounted, english_only=True),
)
