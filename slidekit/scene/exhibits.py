"""Exhibits: shown views with all that stands around each of them, before they are laid out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from slidekit.errors import FitError
from slidekit.scans.movies import Movie
from slidekit.scans.pictures import widened_picture
from slidekit.scene.asides.column import Aside, with_key
from slidekit.scene.asides.contrast_plot import ContrastPlot
from slidekit.scene.asides.profile_plot import profile_plot
from slidekit.scene.asides.value_table import value_caution, value_notes, value_table, with_value
from slidekit.scene.model import Box, Item, Paragraph, Run
from slidekit.scene.pictures.compose import data_line
from slidekit.scene.pictures.inlay_items import compose_ensemble
from slidekit.scene.pictures.inlays import Ensemble, arrange
from slidekit.scene.pictures.scale_bar import bar_length_mm
from slidekit.scene.pictures.whereabouts import place_in_words
from slidekit.scene.sights.framing import inset_name
from slidekit.scene.sights.model import Cast, PlacedRegion, Sight, Sights
from slidekit.scene.sights.moving import motion_in_words, moving_name
from slidekit.scene.style import Style
from slidekit.scene.text import paragraphs_of
from slidekit.storyboard.views import ShownView
from slidekit.wording import figures, phrase


@dataclass(frozen=True)
class Exhibit:
    """One shown view with all that stands around it."""

    ensemble: Ensemble
    caption: tuple[Paragraph, ...]
    data: tuple[Paragraph, ...]
    share: float = 1.0  # its height as a part of the tallest picture's of its row
    bar_mm: float | None = None  # length of the scale bar, when several pictures share one
    asides: tuple[Aside, ...] = ()  # tables and plots of measured values

    @property
    def sight(self) -> Sight:
        return self.ensemble.sight

    @property
    def regions(self) -> tuple[PlacedRegion, ...]:
        return self.ensemble.regions

    @property
    def aspect(self) -> float:
        """Width over the height of the tallest picture of the row."""
        return self.ensemble.aspect * self.share

    @property
    def keyed(self) -> tuple[PlacedRegion, ...]:
        """The regions that its key explains: all but those of its table."""
        explained = {name for aside in self.asides for name in aside.names}
        return tuple(region for region in self.regions if region.name not in explained)

    @property
    def explained(self) -> tuple[Aside, ...]:
        """Tables, key and plots."""
        return with_key(self.asides, self.keyed)

    def has_words(self) -> bool:
        return bool(self.caption or self.regions)

    def pictures(self, box: Box, cast: Cast, style: Style) -> tuple[Item, ...]:
        """What is seen, in a box of the exhibit's aspect: at its foot if it is not so tall."""
        height = box.height_mm * self.share
        place = box._replace(top_mm=box.bottom_mm - height, height_mm=height)
        return compose_ensemble(self.ensemble, place, cast, style, self.bar_mm)


def exhibits_of(
    shown: Sequence[ShownView],
    sights: Sights,
    *,
    same_scale: bool = False,
    notes: Mapping[str, str] = MappingProxyType({}),
    foot: str = "",
) -> tuple[Exhibit, ...]:
    """The views of a slide or panel with their pictures, regions and values at hand.

    `notes` are added to the data of the views they belong to. `foot` is what stands at the foot of
    the page anyhow: a caution there is not repeated.

    Raises
    ------
    FitError
        If a value cannot be given.
    """
    shares = (
        _shares([sights.views[view.view] for view in shown]) if same_scale else [1.0] * len(shown)
    )
    exhibits = tuple(
        replace(_exhibit(view, sights, notes.get(view.view, ""), share), share=share)
        for view, share in zip(shown, shares, strict=True)
    )
    if same_scale:
        exhibits = _to_one_scale(exhibits)
    cautions = [value_caution(view, sights, foot) for view in shown]
    first = next((i for i, caution in enumerate(cautions) if caution), None)  # once on a page
    if first is None:
        return exhibits
    caution = Paragraph((Run(cautions[first]),))
    return tuple(
        replace(exhibit, data=(*exhibit.data, caution)) if i == first else exhibit
        for i, exhibit in enumerate(exhibits)
    )


def _exhibit(view: ShownView, sights: Sights, note: str, share: float) -> Exhibit:
    sight = sights.views[view.view]
    regions = [sights.regions[name] for name in view.regions]
    marked = tuple(with_value(one) if one.name in view.values else one for one in regions)
    locator = sights.views[view.locator] if view.locator is not None else None
    inset = None
    parts = [data_line(sight)]
    if view.inset is not None:
        inset = (sights.views[inset_name(view)], view.inset.times)
        times = figures(f"{view.inset.times:g}")
        parts.append(phrase("part magnified {times} times", times=times))
    if locator is not None:
        parts.append(phrase("locator {place}", place=place_in_words(locator.picture)))
    movie = sights.movies.get(moving_name(view))
    if movie is not None:
        parts.append(motion_in_words(view))
        sight = _turning(sight, movie) if view.turntable is not None else sight
    if note:
        parts.append(note)
    caption = paragraphs_of(view.caption) if view.caption else ()
    lines = (" · ".join(parts), *value_notes(view, sights))
    data = tuple(Paragraph((Run(line),)) for line in lines)
    arranged = arrange(sight, marked, locator, inset, share, moving=movie is not None)
    ensemble = replace(arranged, movie=movie, way_mm=_way_mm(view, movie))
    return Exhibit(ensemble, caption, data, asides=_asides(view, sights))


def _way_mm(view: ShownView, movie: Movie | None) -> tuple[float, ...]:
    """Both ends of the way of a picture that scrolls by millimetres."""
    if movie is None or view.cine is None or view.cine.from_slice is not None:
        return ()
    return min(movie.places), max(movie.places)


def _turning(sight: Sight, movie: Movie) -> Sight:
    """Without the letters of the sides, which hold for a moment only while it turns; and as wide
    as its frames, in which nothing leaves the picture."""
    picture = sight.picture
    _, top, _, bottom = picture.letters or ("",) * 4
    picture = replace(picture, letters=("", top, "", bottom))
    wide = picture.grid.rows * movie.columns / movie.rows
    more = round((wide - picture.grid.columns) / 2)
    if more <= 0:
        return replace(sight, picture=picture)
    name = f"{sight.name}, turning"  # another picture than that of the view, and not as fine
    return replace(sight, name=name, picture=widened_picture(picture, more))


def _asides(view: ShownView, sights: Sights) -> tuple[Aside, ...]:
    """The table and the plots of a view."""
    asides: list[Aside] = []
    if view.table:
        asides.append(value_table([sights.regions[name] for name in view.table], view.columns))
    if view.profile:
        picture = sights.views[view.view].picture
        asides.append(profile_plot(sights.regions[view.profile], picture))
    if view.contrast:
        contrast = sights.contrasts[view.contrast]
        first, second = (sights.regions[name] for name in contrast.regions)
        asides.append(ContrastPlot(contrast, (first, second)))
    return tuple(asides)


def _continued(line: Paragraph, more: Run) -> Paragraph:
    return replace(line, runs=(*line.runs, more))


def _shares(sights: Sequence[Sight]) -> list[float]:
    """Heights in proportion to the patient's millimetres, of the tallest."""
    for sight in sights:
        if sight.picture.grid.space == "pixels":
            raise FitError(
                f"the pictures cannot be at one scale: `{sight.name}` has none",
                "Write `mm_per_px` on its scan if it is known, or remove `same_scale`",
            )
    heights_mm = [sight.picture.grid.rows * sight.picture.grid.row_mm for sight in sights]
    return [height_mm / max(heights_mm) for height_mm in heights_mm]


def _to_one_scale(exhibits: Sequence[Exhibit]) -> tuple[Exhibit, ...]:
    """One length of scale bars, and a word of it."""
    bar_mm = min(bar_length_mm(exhibit.sight.picture) for exhibit in exhibits)
    said = Run(f" · {phrase('same scale')}")
    return tuple(
        replace(exhibit, bar_mm=bar_mm, data=(_continued(exhibit.data[0], said), *exhibit.data[1:]))
        for exhibit in exhibits
    )
