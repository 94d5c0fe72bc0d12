"""Pages to work from, not to show: a view with a grid of coordinates, and a sheet of all series."""

from slidekit.scene.look.contact_sheet import Preview, compose_contact_sheet, preview_series
from slidekit.scene.look.grid import compose_grid_page

__all__ = ["Preview", "compose_contact_sheet", "compose_grid_page", "preview_series"]
