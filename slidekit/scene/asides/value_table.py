"""A small table of measured values: a key with numbers, each row on the click of its region."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf

from slidekit.errors import FitError
from slidekit.scans.measures.on_planes import AreaMeasure
from slidekit.scene.asides.column import Lettering
from slidekit.scene.cautions import no_name
from slidekit.scene.measured import spoken_caution, written
from slidekit.scene.model import Box, Group, Paragraph, Polyline, Run, Shape, Stroke, Text
from slidekit.scene.pictures.key import compose_key_row, key_height_mm, key_text_width_mm, key_words
from slidekit.scene.sights.model import Cast, PlacedRegion, Sights
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, drawn_height_mm, line_width_mm, words_whole
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.storyboard.measured import Column
from slidekit.storyboard.views import ShownView
from slidekit.wording import alternatives, labelled, phrase, phrase_key

HEADS: dict[Column, str] = {
    "mean_sd": phrase_key("mean ± SD"),
    "mean": phrase_key("mean"),
    "sd": phrase_key("SD"),
    "median": phrase_key("median"),
    "range": phrase_key("5–95 %"),
    "min": phrase_key("least"),
    "max": phrase_key("greatest"),
    "n": phrase_key("n"),
    "area": phrase_key("area"),
    "perimeter": phrase_key("outline"),
    "feret": phrase_key("longest"),
}
UNITS: dict[Column, str] = {"area": "mm²", "perimeter": "mm", "feret": "mm"}
"""Of the columns that are not in the scan's own unit."""

COLUMN_GAP_EM = 0.9
ROW_GAP_EM = 0.45
NONE = "–"
MARKED = "*"  # a number that something speaks against


@dataclass(frozen=True)
class ValueTable:
    """Regions and the columns told of each; all are closed regions that were measured."""

    regions: tuple[PlacedRegion, ...]
    columns: tuple[Column, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Regions that the table explains, so that the key need not."""
        return tuple(region.name for region in self.regions)

    def height_mm(self, cast: Cast, width_mm: float, lettering: Lettering) -> float:
        """Height at these sizes; infinite where the width is too small."""
        return _setting(self, cast, width_mm, lettering).height_mm

    def compose(
        self, cast: Cast, box: Box, lettering: Lettering, style: Style
    ) -> tuple[Group, ...]:
        """The heads, then a row for each region with its notes."""
        return _setting(self, cast, box.width_mm, lettering).compose(box, style)


def value_table(regions: Sequence[PlacedRegion], columns: Sequence[Column]) -> ValueTable:
    """The table of some regions.

    Raises
    ------
    FitError
        If a region was not measured: its view is a picture without values or scale.
    """
    for region in regions:
        measure_of(region)
    return ValueTable(tuple(replace(region, note="") for region in regions), tuple(columns))


def measure_of(region: PlacedRegion) -> AreaMeasure:
    """What was measured of a closed region; FitError if nothing could be."""
    if not isinstance(region.measure, AreaMeasure):
        raise FitError(
            f"`{region.name}` cannot be measured: its view has no values, or no scale",
            "Draw it on a view of a CT or MR scan",
        )
    return region.measure


def with_value(region: PlacedRegion) -> PlacedRegion:
    """The region with its mean beside its letter; FitError if it has none."""
    measure = measure_of(region)
    value = f"{written(measure, 'mean', region.name)} {measure.unit}".rstrip()
    return replace(region, note=f"{value}{MARKED}" if measure.cautions else value)


def value_notes(shown: ShownView, sights: Sights) -> tuple[str, ...]:
    """What speaks against the means beside letters and against a contrast, as far as no table says
    it; and how much the samples of a contrast are worth."""
    contrast = sights.contrasts[shown.contrast] if shown.contrast else None
    named = dict.fromkeys((*shown.values, *(contrast.regions if contrast else ())))
    regions = [sights.regions[name] for name in named if name not in shown.table]
    return (
        *(
            labelled(f"{MARKED} {region.called}", _in_one_line(measure_of(region)))
            for region in regions
            if measure_of(region).cautions
        ),
        *((contrast.worth,) if contrast else ()),
    )


def value_caution(shown: ShownView, sights: Sights, foot: str) -> str:
    """What must be said on a page that shows CT numbers as numbers, and that its foot does not
    say; "" for other values."""
    measured = [sights.regions[name] for name in (*shown.table, *shown.values)]
    units = {one.measure.unit for one in measured if isinstance(one.measure, AreaMeasure)}
    profile = sights.regions[shown.profile].profile if shown.profile else None
    if profile is not None:
        units.add(profile.unit)
    if shown.contrast:
        units.add(sights.contrasts[shown.contrast].unit)
    has_spread = shown.table and {"sd", "mean_sd"} & set(shown.columns)
    sentences = [phrase("SD with n − 1.")] if has_spread else []
    if "HU" in units and no_name() not in foot:
        sentences.append(no_name())
    return " ".join(sentences)


def cells_of(region: PlacedRegion, columns: Sequence[Column]) -> tuple[str, ...]:
    """The numbers of one row; the first is marked if something speaks against them."""
    measure = measure_of(region)
    cells = [_cell(measure, column, region.name) for column in columns]
    if measure.cautions:
        cells[0] += MARKED
    return tuple(cells)


def _in_one_line(measure: AreaMeasure) -> str:
    return "; ".join(map(spoken_caution, measure.cautions))


def _cell(measure: AreaMeasure, column: Column, name: str) -> str:
    if column in ("area", "perimeter", "feret"):
        return NONE if measure.laid_flat else written(measure, column, name)
    values = measure.statistics
    if values is None:
        return "0" if column == "n" else NONE
    if values.sd is None and column in ("sd", "mean_sd"):
        return NONE if column == "sd" else written(measure, "mean", name)
    match column:
        case "mean_sd":
            return f"{written(measure, 'mean', name)} ± {written(measure, 'sd', name)}"
        case "range":
            low, high = (written(measure, part, name) for part in ("p5", "p95"))
            return phrase("{low} to {high}", low=low, high=high)
    return written(measure, column, name)


def _heads(table: ValueTable) -> tuple[tuple[str, str], ...]:
    """Title and unit of every column."""
    units = dict.fromkeys(measure_of(region).unit for region in table.regions)
    unit = alternatives(filter(None, units))
    return tuple((phrase(HEADS[column]), _unit_of(column, unit)) for column in table.columns)


def _setting(table: ValueTable, cast: Cast, width_mm: float, lettering: Lettering) -> "_Setting":
    rows = tuple(cells_of(region, table.columns) for region in table.regions)
    heads = _heads(table)
    size_pt = lettering.size_pt
    widths = tuple(
        max(
            *(line_width_mm(row[i], size_pt, bold=True) for row in rows),
            *(line_width_mm(line, lettering.small_pt) for line in heads[i]),
        )
        * 1.03
        + 0.4
        for i in range(len(heads))
    )
    gap = COLUMN_GAP_EM * em_mm(size_pt)
    numbers = sum(widths) + gap * (len(widths) - 1)
    name_width = width_mm - numbers - 1.5 * gap
    beside = all(
        words_whole(key_words(region, cast), key_text_width_mm(name_width), size_pt)
        for region in table.regions
    )
    settings = [_Setting(table, cast, (width_mm, lettering), (heads, rows, widths), stacked=True)]
    if beside and name_width > 0:
        settings.append(replace(settings[0], stacked=False))
    return min(settings, key=lambda setting: setting.height_mm)


_Cells = tuple[tuple[tuple[str, str], ...], tuple[tuple[str, ...], ...], tuple[float, ...]]


@dataclass(frozen=True)
class _Setting:
    """The table at one size: names beside their numbers, or above them (`stacked`)."""

    table: ValueTable
    cast: Cast
    room: tuple[float, Lettering]  # width in mm, type sizes
    cells: _Cells  # heads, rows, widths of the columns
    stacked: bool

    @property
    def em_mm(self) -> float:
        return em_mm(self.room[1].size_pt)

    @property
    def gap_mm(self) -> float:
        return COLUMN_GAP_EM * self.em_mm

    @property
    def numbers_mm(self) -> float:
        widths = self.cells[2]
        return sum(widths) + self.gap_mm * (len(widths) - 1)

    @property
    def name_mm(self) -> float:
        """Width of the names."""
        return self.room[0] if self.stacked else self.room[0] - self.numbers_mm - 1.5 * self.gap_mm

    @property
    def head_mm(self) -> float:
        """Height of the heads, down to the first row."""
        lines = 2 if any(unit for _, unit in self.cells[0]) else 1
        return lines * line_mm(self.room[1].small_pt) + 2 * ROW_GAP_EM * self.em_mm

    @property
    def height_mm(self) -> float:
        if self.numbers_mm > self.room[0]:
            return inf
        rows = [self.row_mm(region) + self.notes_mm(region) for region in self.table.regions]
        return self.head_mm + sum(rows) + ROW_GAP_EM * self.em_mm * (len(rows) - 1)

    def row_mm(self, region: PlacedRegion) -> float:
        """Height of one row without its notes."""
        name = key_height_mm((region,), self.cast, self.name_mm, self.room[1].size_pt)
        line = line_mm(self.room[1].size_pt)
        return name + line if self.stacked else max(name, line)

    def notes_mm(self, region: PlacedRegion) -> float:
        """Height of what speaks against the numbers of one row."""
        return drawn_height_mm(self.notes(region), self.room[0], self.room[1].small_pt)

    def notes(self, region: PlacedRegion) -> tuple[Paragraph, ...]:
        """What speaks against the numbers of one row."""
        measure = measure_of(region)
        line = Run(f"{MARKED} {_in_one_line(measure)}")
        return (Paragraph((line,)),) if measure.cautions else ()

    def compose(self, box: Box, style: Style) -> tuple[Group, ...]:
        steps = [self.cast.steps.get(name, 0) for name in self.table.names]
        groups = [self._head(box, min(steps), style)]
        top = box.top_mm + self.head_mm
        for i, region in enumerate(self.table.regions):
            height = self.row_mm(region) + self.notes_mm(region)
            row = Box(box.left_mm, top, box.width_mm, height)
            groups.append(self._row(i, row, style))
            top += height + ROW_GAP_EM * self.em_mm
        return tuple(groups)

    def _head(self, box: Box, step: int, style: Style) -> Group:
        small = self.room[1].small_pt
        line = line_mm(small)
        items: list[Shape | Text] = []
        for (title, unit), (left, width) in zip(self.cells[0], self._columns(box), strict=True):
            for i, text in enumerate(filter(None, (title, unit))):
                place = Box(left, box.top_mm + i * line, width, line)
                items.append(_number(text, place, small, style.colors.quiet))
        bottom = box.top_mm + self.head_mm - ROW_GAP_EM * self.em_mm
        rule = ((box.left_mm, bottom), (box.right_mm, bottom))
        items.append(Polyline(rule, stroke=Stroke(style.colors.quiet, 0.75)))
        said = ", ".join(
            phrase("{value} in {unit}", value=title, unit=unit) if unit else title
            for title, unit in self.cells[0]
        )
        alt = phrase("Table of values: {columns}", columns=said)
        return Group("Table of values", alt, tuple(items), step)

    def _row(self, i: int, row: Box, style: Style) -> Group:
        region = self.table.regions[i]
        name_mm = key_height_mm((region,), self.cast, self.name_mm, self.room[1].size_pt)
        name = row._replace(width_mm=self.name_mm, height_mm=name_mm)
        key = compose_key_row(region, self.cast, name, self.room[1].size_pt, style)
        line = line_mm(self.room[1].size_pt)
        top = row.top_mm + name_mm if self.stacked else row.top_mm
        numbers = [
            _number(
                cell, Box(left, top, width, line), self.room[1].size_pt, style.colors.ink, bold=True
            )
            for cell, (left, width) in zip(self.cells[1][i], self._columns(row), strict=True)
        ]
        said = ", ".join(
            f"{title} {cell} {unit}".rstrip()
            for (title, unit), cell in zip(self.cells[0], self.cells[1][i], strict=True)
        )
        letter = self.cast.letters[region.name]
        return Group(
            f"Values {letter}: {region.called}",
            phrase(
                "{letter}, {mark}, is {called}: {values}",
                letter=letter,
                mark=region.spoken,
                called=region.called,
                values=said,
            ),
            (*key.items, *numbers, *self._note(region, row, style)),
            key.step,
        )

    def _note(self, region: PlacedRegion, row: Box, style: Style) -> tuple[Text, ...]:
        notes = self.notes(region)
        if not notes:
            return ()
        top = row.top_mm + self.row_mm(region)
        box = row._replace(top_mm=top, height_mm=self.notes_mm(region))
        return (Text(box, notes, self.room[1].small_pt, style.colors.quiet, "key"),)

    def _columns(self, box: Box) -> list[tuple[float, float]]:
        """Left edge and width of every column of numbers."""
        places = []
        left = box.right_mm - self.numbers_mm
        for width in self.cells[2]:
            places.append((left, width))
            left += width + self.gap_mm
        return places


def _number(text: str, box: Box, size_pt: float, color: str, *, bold: bool = False) -> Text:
    return Text(box, as_written(text, bold=bold), size_pt, color, "key", align="right")


def _unit_of(column: Column, unit: str) -> str:
    return phrase("samples") if column == "n" else UNITS.get(column, unit)
