"""The slide of a materials question: its answer in a sentence, the chart, and what it is worth."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slidekit.errors import FitError
from slidekit.evidence.materials import SCANNER_HU, SCANNER_SHARE, Band
from slidekit.scene.materials.chart import StripChart
from slidekit.scene.measured import spoken_caution
from slidekit.scene.model import Box, Item, Text
from slidekit.scene.sights.readings import Answer, named
from slidekit.scene.style import Size, Style
from slidekit.scene.text import fit_size_pt, paragraphs_of, text_height_mm
from slidekit.wording import figures, phrase, phrase_key

CAUTION = phrase_key(
    "CT numbers alone do not name a substance: beam hardening, partial volume, packing and decay "
    "shift them, and what was not compared may fit too."
)
SENTENCES_MM = 34.0  # at most
MOST_LEFT_OUT = 12  # excluded candidates without a row that are named; the record has them all
GAP_MM = 4.0


def compose_materials(answer: Answer, room: Box, style: Style) -> tuple[Item, ...]:
    """Everything below the title.

    Raises
    ------
    FitError
        If the candidates that remain possible do not fit at the least type size.
    """
    size = style.sizes["body"]
    large = _said(answer, room, size, style)
    setting = _largest(answer, _below(large, room), style)
    if setting.left_out:  # the chart needs more room
        small = _said(answer, room, Size(pt=size.least_pt, least_pt=size.least_pt), style)
        return _items(small, _largest(answer, _below(small, room), style))
    return _items(large, setting)


def _items(said: Text, setting: "_Setting") -> tuple[Item, ...]:
    if not setting.fits:
        answer = setting.chart.answer
        raise FitError(
            f"{len(answer.remaining)} candidates remain possible, and their rows do not fit at the"
            " least type size",
            "Name those that matter here under `candidates` of the question",
        )
    return (said, *setting.chart.items(), *setting.feet)


def _below(said: Text, room: Box) -> Box:
    top = said.box.bottom_mm + GAP_MM
    return room._replace(top_mm=top, height_mm=room.bottom_mm - top)


def _said(answer: Answer, room: Box, size: Size, style: Style) -> Text:
    """The answer in one sentence, and what a mixture could be in another."""
    sentences = [one for one in (answer.sentence, answer.mixture) if one]
    words = paragraphs_of([f"{one[0].upper()}{one[1:]}." for one in sentences])
    size_pt = fit_size_pt(words, room.width_mm, SENTENCES_MM, size, "the answer")
    height = text_height_mm(words, room.width_mm, size_pt)
    box = room._replace(height_mm=height)
    return Text(box, words, size_pt, style.colors.ink, "label", name="Answer")


@dataclass(frozen=True)
class _Setting:
    """A chart with some of the candidates, and what stands below it."""

    chart: StripChart
    feet: tuple[Text, ...]

    @property
    def fits(self) -> bool:
        return self.chart.needed_mm <= self.chart.room.height_mm

    @property
    def left_out(self) -> bool:
        """Whether some candidates have no row."""
        return len(self.chart.bands) < len(self.chart.answer.bands)


def _largest(answer: Answer, room: Box, style: Style) -> _Setting:
    """The largest type in which all candidates fit, or else at the least size as many of them as
    fit: all that remain, and the excluded ones that are nearest."""
    size = style.sizes["caption"]
    for size_pt in range(int(size.pt), int(size.least_pt) - 1, -1):
        setting = _setting(answer, answer.bands, room, float(size_pt), style)
        if setting.fits:
            return setting
    nearest = sorted(answer.bands, key=lambda band: _distance(answer, band))
    for count in range(len(answer.bands) - 1, max(len(answer.remaining), 1) - 1, -1):
        chosen = nearest[:count]
        shown = [band for band in answer.bands if band in chosen]
        setting = _setting(answer, shown, room, size.least_pt, style)
        if setting.fits:
            break
    return setting


def _distance(answer: Answer, band: Band) -> float:
    """From the measured range to a band; 0 or less for one that may be."""
    (low, high), (least, most) = band.whole, answer.measured
    return max(low - most, least - high, 0.0)


def _setting(
    answer: Answer, bands: Sequence[Band], room: Box, size_pt: float, style: Style
) -> _Setting:
    small_pt = max(size_pt - 3.0, style.sizes["caption"].least_pt)
    chart = StripChart(answer, bands, room, size_pt, small_pt, style)
    feet = _feet(chart, room, style)
    chart_room = room._replace(height_mm=feet[0].box.top_mm - GAP_MM - room.top_mm)
    return _Setting(replace(chart, room=chart_room), feet)


def _feet(chart: StripChart, room: Box, style: Style) -> tuple[Text, Text]:
    """The caution, and what the chart rests on, at the foot of the room."""
    words = paragraphs_of(" ".join(_details(chart)))
    small = style.sizes["data"].least_pt
    height = text_height_mm(words, room.width_mm, small)
    box = room._replace(top_mm=room.bottom_mm - height, height_mm=height)
    details = Text(box, words, small, style.colors.quiet, "data", name="What the bands rest on")
    caution = paragraphs_of(phrase(CAUTION))
    size = style.sizes["caption"].least_pt
    height = text_height_mm(caution, room.width_mm, size)
    above = room._replace(top_mm=box.top_mm - height - 1.0, height_mm=height)
    return (
        Text(above, caution, size, style.colors.ink, "caption", name="Caution"),
        details,
    )


def _details(chart: StripChart) -> list[str]:
    """Sentences that another reader needs to find the same answer."""
    answer = chart.answer
    n = answer.statistics.n
    told = [
        phrase(
            "Measured: {n} samples; the strip is their middle 90\N{NO-BREAK SPACE}%.",
            n=figures(f"{n:,}"),
        ),
        phrase(
            "Bars: CT numbers for ranges of density, packing and beam energy, effective energy "
            "{energy}.",
            energy=answer.energy_in_words,
        ),
        phrase(
            "Lines: what scanners differ by, {hu} HU and {percent}\N{NO-BREAK SPACE}%.",
            hu=f"{SCANNER_HU:g}",
            percent=f"{100 * SCANNER_SHARE:g}",
        ),
    ]
    if chart.has_arrows:
        told.append(phrase("Arrows: beyond the axis."))
    left_out = [band.candidate.called for band in answer.bands if band not in chart.bands]
    if left_out:
        names = named(left_out, MOST_LEFT_OUT)
        told.append(phrase("Excluded too, farther off: {names}.", names=names))
    if answer.cautions:
        told.append(
            phrase("What speaks against the values: {cautions}.", cautions=_cautions(answer))
        )
    return told


def _cautions(answer: Answer) -> str:
    return "; ".join(map(spoken_caution, answer.cautions))
