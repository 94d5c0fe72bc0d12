"""Pictures that move by themselves in a deck: which frames they have, and what is said of them."""

from collections.abc import Mapping
from math import floor, inf

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.geometry import normal, range_along_mm
from slidekit.scans.kept.movies import kept_movie
from slidekit.scans.model import PlaneRequest, Series
from slidekit.scans.movies import Movie, frames_of, make_movie, plane_at, scroll, way_through
from slidekit.scans.planes.planning import Stack
from slidekit.scans.planes.read import planned_plane
from slidekit.scans.planes.turntable import angles_deg, turn_images
from slidekit.scans.windows import black_up_to
from slidekit.scene.pictures.whereabouts import signed
from slidekit.scene.sights.model import Sight, Sights
from slidekit.scene.sights.requests import plane_request
from slidekit.storyboard.motion import Cine, Turntable
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import OwnSlide, ScanSlide
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import ShownView
from slidekit.wording import figures, phrase


def moving_name(shown: ShownView) -> str:
    """What the moving picture is called among the pictures; "" if it stands still."""
    motion = motion_in_words(shown)
    return f"{shown.view}, {motion}" if motion else ""


def motion_in_words(shown: ShownView) -> str:
    """How the picture moves; "" if it stands still."""
    if shown.turntable is not None:
        frames = shown.turntable.frames
        return phrase("turning in {frames} steps, seen from the front first", frames=frames)
    cine = shown.cine
    if cine is None:
        return ""
    if cine.from_slice is not None:
        return phrase(
            "moving from slice {first} to {last}", first=cine.from_slice, last=cine.to_slice
        )
    if cine.before_mm is not None and cine.behind_mm is not None:
        way = phrase(
            "moving from {first} mm before it to {last} mm behind it",
            first=signed(cine.before_mm),
            last=signed(cine.behind_mm),
        )
    else:
        first, last = (signed(value or 0.0) for value in (cine.from_mm, cine.to_mm))
        way = phrase("moving from {first} to {last} mm", first=first, last=last)
    if cine.step_mm is None:
        return way
    return phrase("{way} in steps of {step} mm", way=way, step=figures(f"{cine.step_mm:g}"))


def moving_sentences(slide: OwnSlide) -> tuple[str, ...]:
    """What the speaker must know of the pictures of a slide that move by themselves."""
    views = slide.views if isinstance(slide, ScanSlide) else ()
    sentences = []
    for number, one in enumerate(views, start=1):
        motion = motion_in_words(one)
        if motion and len(views) == 1:
            sentences.append(phrase("The picture moves by itself: {motion}.", motion=motion))
        elif motion:
            sentences.append(
                phrase(
                    "Picture {number} of {count} moves by itself: {motion}.",
                    number=number,
                    count=len(views),
                    motion=motion,
                )
            )
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
    motion = shown.turntable or shown.cine
    if motion is None:
        raise ScanError("the picture stands still", "Write `cine` or `turntable`")
    requests, places = _frames(motion, plane_request(sight.view), series)
    scales, look = sight.picture.scales, (motion.fps, motion.longest_px)

    def make() -> Movie:
        if isinstance(motion, Turntable):
            black = -inf if series.inverted else min(map(black_up_to, scales))
            images = turn_images(series, requests[0], motion.frames, motion.longest_px, black)
            return make_movie(frames_of(series, images, scales), places, *look)
        return make_movie(scroll(series, requests, scales), places, *look)

    asked = type(motion).__name__, requests, places, scales, look
    return kept_movie(series, asked, make, verify=verify)


def _frames(
    motion: Cine | Turntable, request: PlaneRequest, series: Series
) -> tuple[tuple[PlaneRequest, ...], tuple[float, ...]]:
    """The planes that are read, and where each frame lies: along the way, or in the turn."""
    if isinstance(motion, Turntable):
        return (request,), tuple(angles_deg(motion.frames))
    places = _way(motion, request, series)
    return tuple(plane_at(request, place) for place in places), places


def _way(cine: Cine, request: PlaneRequest, series: Series) -> tuple[float, ...]:
    if cine.from_slice is not None and cine.to_slice is not None:
        own = float(request.slice_number or 1)
        return way_through(own, cine.from_slice, cine.to_slice, 1.0)
    plan = planned_plane(series, request)
    step_mm = cine.step_mm or Stack(series).sample_distance(normal(plan.grid))
    if cine.before_mm is not None and cine.behind_mm is not None:
        if plan.flattening is None:
            low, high = range_along_mm(series, normal(plan.grid))
            _check_end("before_mm", cine.before_mm, plan.at_mm - low)
            _check_end("behind_mm", cine.behind_mm, high - plan.at_mm)
        return way_through(0.0, -cine.before_mm, cine.behind_mm, step_mm)
    return way_through(plan.at_mm, cine.from_mm or 0.0, cine.to_mm or 0.0, step_mm)


def _check_end(field: str, wanted_mm: float, most_mm: float) -> None:
    if wanted_mm > most_mm:
        raise ScanError(
            f"{field}: {wanted_mm:g} reaches out of the scan, which ends after {most_mm:.1f} mm",
            f"Write {floor(most_mm * 10) / 10:g} or less",
        )
