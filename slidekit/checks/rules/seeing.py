"""Rules about seeing: from the back row, with any of the common kinds of colour vision."""

from collections.abc import Iterator
from itertools import combinations

from slidekit.checks.deck import lint_deck
from slidekit.checks.grounds import PlacedText, placed_texts
from slidekit.checks.heard import Heard
from slidekit.checks.placed import PlacedMark, placed_marks
from slidekit.checks.rules.rule import Complaint, Findings, Rule, Unchecked
from slidekit.scene.color import contrast_ratio, least_difference
from slidekit.scene.compose import Told
from slidekit.scene.fonts import cap_height_em
from slidekit.scene.model import Role, Text
from slidekit.scene.palette import LIKENESS
from slidekit.scene.type_units import MM_PER_PT
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import CreditsSlide, ScanSlide
from slidekit.storyboard.talk import Room

ACUITY_FACTOR = 200
FOR_THE_RECORD: tuple[Role, ...] = ("data", "footer", "page_number")
LARGE_PT, LARGE_BOLD_PT = 18.0, 14.0
LEAST_INSIDE = 1 / 3
LARGEST_SAMPLE_MM = 3.0
UNDASHED = ("arrow", "point")


def least_height_share(room: Room) -> float:
    """The height, as a share of the screen's, that is read from the farthest seat: its distance
    over 200 heights of the screen (ANSI/AVIXA V202.01:2016, Basic Decision Making)."""
    return room.depth_m / (ACUITY_FACTOR * room.screen_height_m)


def find_small_text(heard: Heard) -> Findings:
    """Text whose capitals are too low for the back row.

    Why: who cannot read it stops trying. A capital letter must have the height of the farthest
    seat's distance over 200 heights of the screen: 3.5 % of the slide at 10.5 m from a screen of
    1.5 m. The line of data, the footer and the credits are for the record and do not count.

    Instead: write fewer words, show fewer views, split the slide, or use a style with larger type.

    Source: ANSI/AVIXA V202.01:2016, Basic Decision Making, of which the element is here a capital.
    """
    room = heard.source.board.talk.room
    if room is None:
        yield Unchecked("`talk` has no `room: {depth_m: …, screen_height_m: …}`")
        return
    small: dict[float, list[tuple[FieldPath, Told, Text]]] = {}
    for path, told in heard.slides:
        text = _smallest(told)
        if text is not None and _height_share(text, told) < least_height_share(room):
            small.setdefault(round(text.size_pt), []).append((path, told, text))
    for size_pt, found in small.items():
        path, told, text = found[0]
        reaches = _height_share(text, told) * ACUITY_FACTOR * room.screen_height_m
        slides = listed([f"`{told.slide.id}`" for _, told, _ in found])
        yield Complaint(
            path,
            f"text of {size_pt} pt, as in “{_short(text.plain)}”, is read up to {reaches:.1f} m,"
            f" and the room is {room.depth_m:g} m deep: {slides}",
        )


def _smallest(told: Told) -> Text | None:
    """The smallest text that the audience is meant to read; None if there is none."""
    if isinstance(told.slide, CreditsSlide):
        return None
    texts = [one.text for one in placed_texts(told.page)]
    read = [text for text in texts if text.role not in FOR_THE_RECORD and _has_letters(text)]
    return min(read, key=lambda text: text.size_pt, default=None)


def _has_letters(text: Text) -> bool:
    """Whether there is anything to read, and not a sign alone."""
    return any(letter.isalnum() for letter in text.plain)


def _height_share(text: Text, told: Told) -> float:
    """Height of a capital, of the slide's."""
    return text.size_pt * cap_height_em() * MM_PER_PT / told.page.size_mm[1]


def _short(words: str) -> str:
    return " ".join(words.split())[:30]


def find_low_contrast(heard: Heard) -> Findings:
    """Text that stands out too little from what lies behind it.

    Why: projectors and daylight take what contrast there is. Text must reach 4.5:1, large text
    (18 pt, or 14 pt bold, and more) 3:1. Styles are held to more than that, but a chart may lay
    text on a colour of its own.

    Instead: choose other colours in your style.

    Source: WCAG 2.2, success criterion 1.4.3, and its definitions of contrast ratio and large text.
    """
    for path, told in heard.slides:
        poor = [one for text in placed_texts(told.page) for one in _poor_runs(text)]
        if poor:
            ratio, words, ground = min(poor)
            more = f", and {len(poor) - 1} more" if len(poor) > 1 else ""
            text = f"“{words}” has a contrast of {ratio:.2f}:1 to its ground {ground}{more}"
            yield Complaint(path, text)


def _poor_runs(placed: PlacedText) -> Iterator[tuple[float, str, str]]:
    """Contrast, words and ground of what stands out too little."""
    text, ground = placed.text, placed.ground
    for run in (run for paragraph in text.paragraphs for run in paragraph.runs):
        large = text.size_pt >= (LARGE_BOLD_PT if run.bold else LARGE_PT)
        ratio = contrast_ratio(run.color or text.color, ground)
        if run.text.strip() and ratio < (3.0 if large else 4.5):
            yield ratio, _short(run.text), ground


def find_alike_marks(heard: Heard) -> Findings:
    """Two arrows or crosses on one slide that some viewers cannot tell apart.

    Why: outlines and lines differ in their dashes as well, arrows and crosses in colour alone. To
    one man in twelve some colours are one. Letters tell marks apart in grey print, and words that
    name a colour do not say letters.

    Instead: give one of them another `color`, or another shape.

    Source: Machado, Oliveira and Fernandes, IEEE TVCG 15 (2009), 1291-1298, severity 1, for three
    kinds of colour vision; CIEDE2000 (ISO/CIE 11664-6) of 10 and more is common practice.
    """
    for path, told in heard.slides:
        regions = {mark.region.name: mark.region for mark in placed_marks(heard, told)}
        undashed = [one for one in regions.values() if one.figure.kind in UNDASHED]
        for one, other in combinations(undashed, 2):
            difference = least_difference(one.mark.color, other.mark.color)
            if one.figure.kind == other.figure.kind and difference < LIKENESS:
                text = (
                    f"`{one.name}` and `{other.name}` are told apart by colour alone, and to some"
                    f" viewers differ by a CIEDE2000 of only {difference:.1f}"
                )
                yield Complaint(path, text, other.name)


def find_hiding_marks(heard: Heard) -> Findings:
    """An outline whose own line hides what it is drawn around.

    Why: the line and its dark edge are as wide on every slide. Around something small they leave
    little of it to be seen: here less than a third of what is outlined.

    Instead: crop the view closer, show fewer views, add an `inset`, or point with an arrow.

    Source: own choice of a third.
    """
    edge_mm = heard.style.mark_halo_pt * MM_PER_PT / 2
    for path, told in heard.slides:
        for mark in placed_marks(heard, told):
            if _hides(mark, edge_mm):
                width, height = (f"{size:.0f}" for size in mark.size_mm)
                text = (
                    f"the outline of `{mark.region.name}` is {width} by {height} mm on the slide,"
                    " and its own line hides most of what is inside"
                )
                yield Complaint(path, text, mark.region.name)


def _hides(mark: PlacedMark, edge_mm: float) -> bool:
    if mark.region.figure.kind not in ("ellipse", "polygon"):
        return False
    long, short = mark.size_mm
    free = max(long - 2 * edge_mm, 0.0) * max(short - 2 * edge_mm, 0.0)
    return free < LEAST_INSIDE * long * short


def find_coarse_pictures(heard: Heard) -> Findings:
    """A picture enlarged so far that one sample of the scan is 3 mm wide on the slide.

    Why: it looks as if there were detail, and there is none: fewer than 64 samples would fill the
    slide from top to bottom. An `inset` says how many times it is enlarged, and does not count.

    Instead: crop less, or show a finer series.

    Source: own choice of 3 mm; slidekit enlarges smoothly, and smooth is not sharp.
    """
    for path, told in heard.slides:
        views = told.slide.views if isinstance(told.slide, ScanSlide) else ()
        for j, shown in enumerate(views):
            fineness = heard.sights.fineness.get(shown.view)
            if fineness is not None and fineness.sample_mm > LARGEST_SAMPLE_MM:
                text = (
                    f"a sample of view `{shown.view}` is {fineness.sample_mm:.1f} mm wide on the"
                    " slide: crop less, or show a finer series"
                )
                yield Complaint((*path, "views", j), text, shown.view)


def find_scaleless(heard: Heard) -> Findings:
    """A picture without a scale on a scan slide.

    Why: nobody can tell whether the thing is as large as a hand or as a house. A photograph, a
    radiograph or a screen capture does not say by itself what a pixel measures.

    Instead: write `mm_per_px` on its scan, as measured on a scale in the picture; if there is none,
    say so in `waive`.

    Source: common practice of finds photography.
    """
    for path, told in heard.slides:
        views = told.slide.views if isinstance(told.slide, ScanSlide) else ()
        for j, shown in enumerate(views):
            if heard.sights.views[shown.view].picture.grid.space == "pixels":
                text = f"view `{shown.view}` has no scale: write `mm_per_px` on its scan"
                yield Complaint((*path, "views", j), text, shown.view)


def find_deck_flaws(heard: Heard) -> Findings:
    """What a valid deck can still have wrong: clicks, alternative texts, titles, languages, places.

    Why: a deck can open without complaint and still lose its clicks, show "Click to add text" or be
    mute to a screen reader.

    Instead: slidekit should have written it rightly. Please report the line that `check` prints.

    Source: ECMA-376 Part 1, 19.3 and 19.5; WCAG 2.2, 1.1.1, 2.4.2 and 3.1.2.
    """
    if heard.deck is not None:
        yield from (Complaint((), fault) for fault in lint_deck(heard.deck))


RULES = (
    Rule("back-row", "warning", find_small_text),
    Rule("contrast", "error", find_low_contrast),
    Rule("marks-alike", "warning", find_alike_marks),
    Rule("mark-hides", "warning", find_hiding_marks),
    Rule("coarse-picture", "warning", find_coarse_pictures),
    Rule("no-scale", "note", find_scaleless),
    Rule("deck", "error", find_deck_flaws),
)
