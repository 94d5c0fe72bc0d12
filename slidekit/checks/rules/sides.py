"""Rules about left and right: what is said agrees with where it is seen, and with the letters."""

from slidekit.checks.english.sides import Sides, sides_in
from slidekit.checks.heard import Heard
from slidekit.checks.placed import PlacedMark, placed_marks
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.checks.written import sentences
from slidekit.scans.geometry import corners
from slidekit.scans.model import Series
from slidekit.scene.compose import Told
from slidekit.scene.model import Picture
from slidekit.storyboard.slides import ScanSlide

SURE = 0.1  # of a width: what lies nearer to the middle is on neither side


def find_wrong_sides(heard: Heard) -> Findings:
    """Left or right said of a mark that lies on the other side.

    Why: on the pictures the patient's left is at the right, and whoever says the wrong one loses
    the trust of those who notice. Three ways of saying it are held against the marks of the same
    sentence: the picture "on the left" of two, where the mark lies in the other one and in its
    other half; the left side "of the picture"; and the left side "of the body", where its place in
    the patient decides, as do the letters L and R. A sentence that names both sides is left alone.

    Instead: name the other side, or say whose left is meant.

    Source: DICOM PS3.3 C.7.6.2.1.1: x grows to the patient's left.
    """
    for path, told in heard.slides:
        marks = list(placed_marks(heard, told))
        for sentence in sentences(told.slide.say) if marks else ():
            sides = sides_in(sentence.typed)
            for name in dict.fromkeys(name for name, _ in sentence.names):
                placed = [mark for mark in marks if mark.region.name == name]
                wrongs = [_wrong_side(sides, mark, heard, told) for mark in placed]
                if placed and all(wrongs):
                    yield Complaint((*path, "say"), wrongs[0], name, sentence.before)


def _wrong_side(sides: Sides, mark: PlacedMark, heard: Heard, told: Told) -> str:
    """What is wrong with what is said of the mark; "" if nothing."""
    name = mark.region.name
    if sides.of_picture and _is_other(sides.of_picture, mark.across - 0.5):
        return f"`{name}` is said to lie at the {sides.of_picture} of the picture, and does not"
    if sides.of_body and _is_other(sides.of_body, _to_patients_right(mark, heard)):
        return (
            f"`{name}` is said to lie on the {sides.of_body} of the body, and lies on its other"
            " side: see the letters of the picture"
        )
    if sides.which_picture and all(
        _is_other(sides.which_picture, place)
        for place in (_place_in_row(mark, told), mark.across - 0.5)
    ):
        return f"`{name}` is said to be on the {sides.which_picture}, and is not"
    return ""


def _is_other(side: str, to_right: float) -> bool:
    """Whether something lies clearly on the other side than `side`."""
    return to_right > SURE if side == "left" else to_right < -SURE


def _place_in_row(mark: PlacedMark, told: Told) -> float:
    """1 in the rightmost of several views, -1 in the leftmost, 0 elsewhere."""
    views = {one.view for one in told.slide.views} if isinstance(told.slide, ScanSlide) else set()
    pictures = (item for item in told.page.items if isinstance(item, Picture))
    lefts = [picture.box.left_mm for picture in pictures if picture.name in views]
    if min(lefts) == max(lefts):
        return 0.0
    return {max(lefts): 1.0, min(lefts): -1.0}.get(mark.picture.left_mm, 0.0)


def _to_patients_right(mark: PlacedMark, heard: Heard) -> float:
    """How far to the patient's right of the scan's middle the region lies, of its width."""
    series = heard.series.get(mark.sight.view.scan)
    if series is None or mark.region.figure.space != "patient":
        return 0.0
    low, high = _width_lps(series)
    if low == high:
        return 0.0
    places = [point[0] for point in mark.region.figure.points_lps]
    at = places[0] if mark.region.figure.kind == "ellipse" else (min(places) + max(places)) / 2
    return ((low + high) / 2 - at) / (high - low)


def _width_lps(series: Series) -> tuple[float, float]:
    """Lowest and highest x of the scan, mm."""
    across = corners(series)[:, 0]
    return float(across.min()), float(across.max())


RULES = (Rule("wrong-side", "error", find_wrong_sides, english_only=True),)
