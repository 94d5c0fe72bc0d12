"""How fine the pictures of a page are: as many pixels as their place needs, and what of it the
scan really gives.

Pages are laid out with pictures at the scan's own size. Only then it is known how large each is
shown, and it is enlarged to the pixels that this needs.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from slidekit.scans.enlarging import Enlarged
from slidekit.scans.model import ScanPicture
from slidekit.scans.pictures import LARGEST_FACTOR
from slidekit.scene.model import Page, Picture
from slidekit.scene.sights.model import INCH_MM, Fineness, Sights
from slidekit.wording import figures, phrase

DECK_PPI = 144.0  # twice the 72 points of an inch: a wide slide is then 1920 pixels across
DRAFT_PPI = 72.0
CLEAR_PPI = 150.0
"""Samples of the scan to the inch below which print at reading distance looks soft (common
practice)."""


def fineness_of(pages: Iterable[Page], sights: Sights, ppi: float) -> dict[str, Fineness]:
    """Of every picture with a place in the patient, by the name of its view.

    `ppi` is the number of pixels to the inch that is wanted; it is met to within the nearest whole
    enlargement, up to three.
    """
    widths_mm: dict[str, float] = {}
    for page in pages:
        for item in page.items:
            if isinstance(item, Picture) and item.name in sights.views:
                widest = max(widths_mm.get(item.name, 0.0), item.box.width_mm)
                widths_mm[item.name] = widest
    return {
        name: _fineness(sights.views[name].picture, width_mm, ppi)
        for name, width_mm in widths_mm.items()
        if sights.views[name].picture.grid.space == "patient"
    }


def _fineness(picture: ScanPicture, width_mm: float, ppi: float) -> Fineness:
    grid = picture.grid
    wanted = round(width_mm / INCH_MM * ppi / grid.columns)
    page_mm_per_mm = width_mm / (grid.columns * grid.column_mm)
    return Fineness(
        width_mm,
        min(max(wanted, 1), LARGEST_FACTOR),
        max(picture.native_mm) * page_mm_per_mm,
    )


def refined(sights: Sights, fine: Mapping[str, Fineness]) -> Sights:
    """The sights with what of their pictures is to be enlarged, as `fine` says."""
    pictures = {name: sights.views[name].picture for name in fine}
    enlarged = {
        name: Enlarged(picture.pixels, fine[name].factor, picture.digest)
        for name, picture in pictures.items()
        if picture.is_native
    }
    return replace(sights, fineness=fine, enlarged=enlarged)


def with_pictures(page: Page, sights: Sights) -> Page:
    """The page with the enlarged pixels of `sights` in the places of its pictures."""
    return replace(
        page,
        items=tuple(
            replace(item, pixels=sights.enlarged[item.name])
            if isinstance(item, Picture) and item.name in sights.enlarged
            else item
            for item in page.items
        ),
    )


def softness_notes(fine: Mapping[str, Fineness]) -> dict[str, str]:
    """What must be said under pictures that print softer than they could look."""
    return {
        name: phrase(
            "enlarged: one scan sample is {mm} mm here", mm=figures(f"{one.sample_mm:.1f}")
        )
        for name, one in fine.items()
        if one.samples_per_inch < CLEAR_PPI
    }
