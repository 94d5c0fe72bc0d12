"""What a slide lets the audience see, and so what a finding may rest on."""

from slidekit.storyboard.lookup import EVENTS, PERIODS, SHOWN_IN_PRINT, Definitions
from slidekit.storyboard.printed import placeholders_in
from slidekit.storyboard.slides import (
    FindingsSlide,
    OwnSlide,
    ScanSlide,
    SeriesSlide,
    TimelineSlide,
)


def shown_by(slide: OwnSlide, defined: Definitions) -> tuple[str, ...]:
    """Names of what a slide draws (regions, counts, the whole timeline, findings) and of what is
    shown where it is printed, each once."""
    known = {name for section in SHOWN_IN_PRINT for name in defined[section]}
    printed = (name for name in placeholders_in(slide) if name in known)
    return tuple(dict.fromkeys([*_drawn_on(slide, defined), *printed]))


def _drawn_on(slide: OwnSlide, defined: Definitions) -> tuple[str, ...]:
    match slide:
        case ScanSlide(views=views):
            return tuple(name for view in views for name in view.regions)
        case SeriesSlide(counts=names) | FindingsSlide(findings=names):
            return names
        case TimelineSlide():
            return (*defined[PERIODS], *defined[EVENTS])
    return ()
