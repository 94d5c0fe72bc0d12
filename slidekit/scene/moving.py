"""Pictures that move by themselves in a deck: which frames they have, and what is said of them."""

from collections.abc import Mapping

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.kept_movies import kept_movie
from slidekit.scans.model import GreyScale, Series
from slidekit.scans.movies import Movie, frames_of, make_movie, plane_at, scroll, way_through
from slidekit.scans.planes import planned_plane
from slidekit.scans.planning import Stack
from slidekit.scans.turntable import angles_deg, turn_images
from slidekit.scene.pictures import Sight, Sights
from slidekit.scene.requests import plane_request
from slidekit.scene.whereabouts import signed
from slidekit.storyboard.motion import Cine, Turntable
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import OwnSlide, ScanSlide
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import ShownView, View

AXES = {"axial": (0.0, 0.0, 1.0), "coronal": (0.0, 1.0, 0.0), "sagittal": (1.0, 0.0, 0.0)}


def moving_name(shown: ShownView) -> str:
    """What the moving picture is called among the pictures; "" if it stands still."""
    motion = motion_in_words(shown)
    return f"{shown.view}, {motion}" if motion else ""


def motion_in_words(shown: ShownView) -> str:
    """How the picture moves; "" if it stands still."""
    if shown.turntable is not None:
        return f"turning in {shown.turntable.frames} steps, seen from the front first"
    cine = shown.cine
    if cine is None:
        return ""
    if cine.from_slice is not None:
        return f"moving from slice {cine.from_slice} to {cine.to_slice}"
    step = f" in steps of {cine.step_mm:g} mm" if cine.step_mm is not None else ""
    first, last = (signed(value or 0.0) for value in (cine.from_mm, cine.to_mm))
    return f"moving from {first} to {last} mm{step}"


def moving_sentences(slide: OwnSlide) -> tuple[str, ...]:
    """What the speaker must know of the pictures of a slide that move by themselves."""
    views = slide.views if isinstance(slide, ScanSlide) else ()
    sentences = []
    for number, one in enumerate(views, start=1):
        if motion := motion_in_words(one):
            which = "The picture" if len(views) == 1 else f"Picture {number} of {len(views)}"
            sentences.append(f"{which} moves by itself: {motion}.")
    return tuple(sentences)


def loop_s(slide: OwnSlide, sights: Sights) -> float:
    """How long the moving pictures of a slide take to be seen once; 0 if none moves."""
    views = slide.views if isinstance(slide, ScanSlide) else ()
    movies = [sights.movies[name] for name in map(moving_name, views) if name in sights.movies]
    return max((movie.frames * movie.frame_ms / 1000 for movie in movies), default=0.0)


def make_movies(
    source: Source,
    series: Mapping[str, Series],
    shown: Mapping[FieldPath, ShownView],
    sights: Mapping[str, Sight],
    *,
    verify: bool = False,
) -> dict[str, Movie]:
    """The moving pictures of all pages, by their names; `verify` uses none that was kept.

    Raises
    ------
    StoryboardError
        With a fault for each that cannot be made.
    """
    movies: dict[str, Movie] = {}
    faults: list[Fault] = []
    for path, one in shown.items():
        name = moving_name(one)
        if not name or name in movies:
            continue
        sight = sights[one.view]
        try:
            movies[name] = _kept(one, sight, series[sight.view.scan], verify)
        except ScanError as error:
            field = "cine" if one.cine is not None else "turntable"
            faults.append(source.places.fault((*path, field), error.wrong, error.instead))
    if faults:
        raise StoryboardError(faults)
    return movies


def _kept(shown: ShownView, sight: Sight, series: Series, verify: bool) -> Movie:
    scales = sight.picture.scales
    motion = shown.cine or shown.turntable
    asked = (plane_request(sight.view), scales, motion.model_dump() if motion else None)
    kind = "turntable" if shown.turntable is not None else "cine"
    return kept_movie(
        series,
        (kind, *asked),
        lambda: movie_of(shown, sight.view, series, scales),
        verify=verify,
    )


def movie_of(shown: ShownView, view: View, series: Series, scales: tuple[GreyScale, ...]) -> Movie:
    """The moving picture of a framed view, in the greys of its picture; ScanError if none."""
    if shown.turntable is not None:
        return _turning(shown.turntable, view, series, scales)
    if shown.cine is None:
        raise ScanError("the picture stands still", "Write `cine` or `turntable`")
    return _scrolling(shown.cine, view, series, scales)


def _turning(
    turntable: Turntable, view: View, series: Series, scales: tuple[GreyScale, ...]
) -> Movie:
    request = plane_request(view)
    images = turn_images(series, request, turntable.frames, turntable.longest_px)
    made = frames_of(series, images, scales)
    angles = angles_deg(turntable.frames)
    return make_movie(made, angles, turntable.fps, turntable.longest_px)


def _scrolling(cine: Cine, view: View, series: Series, scales: tuple[GreyScale, ...]) -> Movie:
    request = plane_request(view)
    if cine.from_slice is not None and cine.to_slice is not None:
        at = float(request.slice_number or 1)
        places = way_through(at, cine.from_slice, cine.to_slice, 1.0)
    else:
        at = planned_plane(series, request).at_mm
        step_mm = cine.step_mm or _own_step_mm(view, series)
        places = way_through(at, cine.from_mm or 0.0, cine.to_mm or 0.0, step_mm)
    made = scroll(series, [plane_at(request, place) for place in places], scales)
    return make_movie(made, places, cine.fps, cine.longest_px)


def _own_step_mm(view: View, series: Series) -> float:
    """How far apart the samples of the scan lie across the view."""
    stack = Stack(series)
    return stack.sample_distance(AXES.get(view.plane, stack.normal.tolist()))
