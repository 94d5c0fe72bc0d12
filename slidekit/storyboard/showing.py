"""What a slide lets the audience see, and so what a finding may rest on."""

from collections.abc import Iterator

from slidekit.storyboard.findings import Finding
from slidekit.storyboard.names.lookup import (
    COUNTS,
    EVENTS,
    FINDINGS,
    PERIODS,
    SHOWN_IN_PRINT,
    SOURCES,
    STAGES,
    TERMS,
    THIS_CASE,
    Definitions,
    Section,
)
from slidekit.storyboard.printed import placeholders_in
from slidekit.storyboard.slides import (
    CompareSlide,
    FindingsSlide,
    GlossarySlide,
    MaterialsSlide,
    OwnSlide,
    ScanSlide,
    SeriesSlide,
    TimelineSlide,
)


def shown_by(slide: OwnSlide, defined: Definitions) -> tuple[str, ...]:
    """Names of what a slide draws (regions, contrasts, counts, a question, the whole timeline,
    stages, findings), of the sources of its findings, and of what is shown where it is printed,
    each once."""
    known = {name for section in SHOWN_IN_PRINT for name in defined[section]}
    printed = (name for name in placeholders_in(slide) if name in known)
    return tuple(dict.fromkeys([*drawn_on(slide, defined), *_cited_on(slide, defined), *printed]))


def _cited_on(slide: OwnSlide, defined: Definitions) -> Iterator[str]:
    """The sources that findings rest on, which their slide prints."""
    for name in slide.findings if isinstance(slide, FindingsSlide) else ():
        finding = defined[FINDINGS].get(name)
        rests_on = finding.rests_on if isinstance(finding, Finding) else ()
        yield from (one for one in rests_on if one in defined[SOURCES])


def named_on(
    slide: SeriesSlide | FindingsSlide | GlossarySlide,
) -> tuple[str, tuple[str, ...], Section]:
    """The field in which a slide lists names, the names, and the section that defines them."""
    match slide:
        case SeriesSlide(counts=names):
            return "counts", names, COUNTS
        case FindingsSlide(findings=names):
            return "findings", names, FINDINGS
        case GlossarySlide(terms=names):
            return "terms", names, TERMS


def drawn_on(slide: OwnSlide, defined: Definitions) -> tuple[str, ...]:
    """Names of what a slide draws, which is also what its clicks can bring on."""
    match slide:
        case ScanSlide(views=views):
            regions = (name for view in views for name in view.regions)
            return (*regions, *(view.contrast for view in views if view.contrast is not None))
        case MaterialsSlide(question=name):
            return (name,)
        case SeriesSlide(counts=names) | FindingsSlide(findings=names):
            return names
        case TimelineSlide():
            return (*defined[PERIODS], *defined[EVENTS], *defined[THIS_CASE])
        case CompareSlide(stages=names):
            return names or tuple(defined[STAGES])
    return ()
