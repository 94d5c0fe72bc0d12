"""Every outline of the demo lies on what it is said to show.

The voxels are read by SimpleITK, and the insides of outlines found by scikit-image, so that a fault
in slidekit's own geometry cannot hide one in the storyboard.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
import SimpleITK
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates
from scipy.signal import find_peaks
from skimage.measure import label, points_in_poly
from skimage.morphology import dilation, disk

from slidekit.shipped import demo_folder
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.regions import (
    ArrowRegion,
    EllipseRegion,
    PointRegion,
    PolygonRegion,
    RectangleRegion,
    Region,
)
from slidekit.storyboard.views import View

AXES = {"axial": (0, 1), "coronal": (0, 2), "sagittal": (1, 2)}
STEP_MM = 0.3  # between the samples of planes that lie on no axes


@dataclass(frozen=True)
class Block:
    """A series as SimpleITK reads it; `hu` is (z, y, x)."""

    hu: NDArray[np.int16]
    origin: NDArray[np.float64]  # x, y, z
    spacing: NDArray[np.float64]


@dataclass(frozen=True)
class Cut:
    """A plane of a block by its two patient axes; rows follow the second. Of an upright oblique
    plane and of an unrolled wall: to the right and down from the middle."""

    hu: NDArray[np.float64]
    across_mm: NDArray[np.float64]
    along_mm: NDArray[np.float64]

    def within(self, place: tuple[float, ...], radius: float) -> NDArray[np.float64]:
        u, v = place
        return self.hu[(self.across_mm - u) ** 2 + (self.along_mm - v) ** 2 <= radius**2]

    def inside(self, corners: NDArray[np.float64]) -> NDArray[np.bool_]:
        points = np.column_stack([self.across_mm.ravel(), self.along_mm.ravel()])
        return points_in_poly(points, corners).reshape(self.hu.shape)


@pytest.fixture(scope="module")
def board() -> Storyboard:
    return read_storyboard(demo_folder() / "urn.yaml").board


@pytest.fixture(scope="module")
def blocks(real_series) -> dict[str, Block]:
    found = {}
    for name in ("urn", "urn-fine"):
        folder = str(real_series(name))
        reader = SimpleITK.ImageSeriesReader()
        reader.SetFileNames(reader.GetGDCMSeriesFileNames(folder))
        image = reader.Execute()
        hu = SimpleITK.GetArrayFromImage(image).astype(np.int16)
        found[name] = Block(hu, np.array(image.GetOrigin()), np.array(image.GetSpacing()))
    return found


@pytest.fixture(scope="module")
def cut(board, blocks) -> Callable[[str], Cut]:
    """The plane of a view, its slab averaged."""

    def of(view_name: str) -> Cut:
        view: View = board.views[view_name]
        block = blocks[str(board.scans[view.scan].demo)]
        if view.plane in ("oblique", "curved"):
            places = upright_along if view.plane == "oblique" else unrolled
            return sampled(block, places, view)
        first, second = AXES[view.plane]
        normal = 3 - first - second
        place = (np.float64(view.at_mm) - block.origin[normal]) / block.spacing[normal]
        half = view.slab_mm / 2 / block.spacing[normal]
        span = range(round(place - half), round(place + half) + 1)
        hu = block.hu.take(span, axis=2 - normal).mean(axis=2 - normal)
        u = block.origin[first] + block.spacing[first] * np.arange(hu.shape[1])
        v = block.origin[second] + block.spacing[second] * np.arange(hu.shape[0])
        return Cut(hu, *np.meshgrid(u, v))

    return of


def upright_along(view: View, right: NDArray[np.float64], down: NDArray[np.float64]):
    """Patient x, y, z of the upright plane along a level line that runs to the patient's left."""
    start, end = np.array(view.along_mm)
    assert start[2] == end[2]
    assert start[0] < end[0]
    direction = (end - start) / np.linalg.norm(end - start)
    return (start + end) / 2 + right[..., None] * direction - down[..., None] * [0, 0, 1]


def unrolled(view: View, right: NDArray[np.float64], down: NDArray[np.float64]):
    """Patient x, y, z of a wall about an upright axis, from its front to the patient's left."""
    x, y, z = np.array(view.path_mm).T
    squares = np.column_stack((2 * x, 2 * y, np.ones(len(x))))  # the circle through all places
    center_x, center_y, rest = np.linalg.lstsq(squares, x**2 + y**2, rcond=None)[0]
    radius = np.sqrt(rest + center_x**2 + center_y**2)
    turn = right / radius
    return np.stack(
        (center_x + radius * np.sin(turn), center_y - radius * np.cos(turn), z[0] - down), axis=-1
    )


def sampled(block: Block, places, view: View) -> Cut:
    reach = 50.0 if view.width_mm is None else view.width_mm / 2
    right, down = np.meshgrid(np.arange(-45, 45, STEP_MM), np.arange(-reach, reach, STEP_MM))
    index = (places(view, right, down) - block.origin) / block.spacing
    hu = map_coordinates(block.hu.astype(float), np.moveaxis(index[..., ::-1], -1, 0), order=1)
    return Cut(hu, right, down)


def corners_of(region: Region, plane: str) -> NDArray[np.float64]:
    """The outline in millimetres on the plane's axes; z runs up the picture, y down."""
    if isinstance(region, PolygonRegion):
        return np.array(region.points_mm)
    if isinstance(region, EllipseRegion):
        turn = np.linspace(0, 2 * np.pi, 72, endpoint=False)
        shape = np.column_stack([np.cos(turn), np.sin(turn)]) * region.radii_mm
    else:
        assert isinstance(region, RectangleRegion)
        shape = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * np.array(region.size_mm) / 2
    down = -1 if plane in ("coronal", "sagittal") else 1
    angle = np.radians(region.rotation_deg) * down
    rotation = np.array([(np.cos(angle), np.sin(angle)), (-np.sin(angle), np.cos(angle))])
    return shape @ rotation + np.array(region.center_mm)


def inside_and_beside(board, cut, name) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Values within an outline, and in a band of six pixels about it, one pixel away."""
    region = board.regions[name]
    plane = cut(region.view)
    inside = plane.inside(corners_of(region, board.views[region.view].plane))
    beside = dilation(inside, disk(7)) & ~dilation(inside, disk(1))
    return plane.hu[inside], plane.hu[beside]


BRIGHTER = [  # the outline holds more than what lies about it, by so many HU at least
    pytest.param("temper", 50, id="temper"),
    pytest.param("gravel", 120, id="gravel"),
    pytest.param("vault", 180, id="vault"),
    pytest.param("shaft", 180, id="shaft"),
    pytest.param("tooth", 150, id="tooth"),
    pytest.param("plug", 20, id="plug"),
    pytest.param("stub", 200, id="stub of the handle"),
    pytest.param("scar", 50, id="scar of the handle"),
]
DARKER = [
    pytest.param("band", 150, id="charcoal band"),
    pytest.param("chip", 200, id="chip"),
    pytest.param("tar", 400, id="seal"),
    pytest.param("wax", 400, id="mended seal"),
    pytest.param("weave", 60, id="weave"),
]


@pytest.mark.parametrize(("name", "least_hu"), BRIGHTER)
def test_an_outline_holds_what_is_brighter_than_its_surroundings(board, cut, name, least_hu):
    inside, beside = inside_and_beside(board, cut, name)
    assert inside.mean() - beside.mean() > least_hu


@pytest.mark.parametrize(("name", "least_hu"), DARKER)
def test_an_outline_holds_what_is_darker_than_its_surroundings(board, cut, name, least_hu):
    inside, beside = inside_and_beside(board, cut, name)
    assert beside.mean() - inside.mean() > least_hu


@pytest.mark.parametrize(
    ("name", "in_the_ash"), [("joint", (-60.0, -30.0)), ("joint_front", (-35.0, -52.0))]
)
def test_the_joint_has_a_net_of_struts_and_the_ash_has_none(board, cut, name, in_the_ash):
    region = board.regions[name]
    plane = cut(region.view)
    spongy, ash = plane.within(region.center_mm, 9.0), plane.within(in_the_ash, 4.0)
    assert spongy.std() > 1.7 * ash.std()


def test_the_empty_space_is_air_throughout(board, cut):
    inside, _ = inside_and_beside(board, cut, "headspace")
    assert inside.max() < -850


def test_a_line_across_the_cloth_meets_three_layers(board, cut):
    region = board.regions["plies"]
    plane = cut(region.view)
    (u, v), (width, height) = region.center_mm, region.size_mm
    rows = np.abs(plane.along_mm[:, 0] - v) < height / 2
    columns = np.abs(plane.across_mm[0] - u) < width / 2
    layers = [len(find_peaks(row, prominence=150)[0]) for row in plane.hu[np.ix_(rows, columns)]]
    assert np.median(layers) == 3


def test_the_outline_of_the_coil_holds_all_metal_of_its_view_but_the_loose_end(board, cut):
    region = board.regions["coil"]
    plane = cut(region.view)
    metal = plane.hu > 3000
    inside = plane.inside(corners_of(region, "axial"))
    assert (metal & inside).sum() > 0.93 * metal.sum() > 0


def test_the_coil_is_cut_across_in_seven_turns(board, cut):
    region = board.regions["turns"]
    plane = cut(region.view)
    inside = plane.inside(corners_of(region, "oblique"))
    assert label(inside & (plane.hu > 2400)).max() == 7


def test_the_plug_is_more_even_than_the_wall_beside_it(board, cut):
    inside, _ = inside_and_beside(board, cut, "plug")
    wall = cut("hole_level").within((-12.0, -79.5), 3.5)
    assert np.std(np.sort(inside)[len(inside) // 4 :]) < np.std(wall)


def test_seal_and_mend_differ_as_pine_resin_and_beeswax_do_at_70_kev(board, cut):
    # resin +17, beeswax -63 HU: monoenergetic, from the elemental tables of Elam, Ravel and
    # Sieber (Radiat. Phys. Chem. 2002; 63:121-128) for C20H30O2 at 1.07 and C46H92O2 at 0.96 g/cm3
    for names in (("tar", "wax"), ("tar_spot", "wax_spot")):
        tar, wax = (np.median(inside_and_beside(board, cut, name)[0]) for name in names)
        assert tar == pytest.approx(17, abs=12)
        assert wax == pytest.approx(-63, abs=12)


@pytest.mark.parametrize("name", ["tar_spot", "wax_spot"])
def test_a_place_to_measure_lies_within_one_material(board, cut, name):
    inside, _ = inside_and_beside(board, cut, name)
    assert inside.min() > -150  # no air
    assert inside.max() < 200  # no ceramic


def test_the_line_across_the_seam_runs_from_one_material_through_air_to_the_other(board, cut):
    line, plane = board.regions["across"], cut("seal_seam")
    assert np.median(plane.within(line.from_mm, 1.5)) == pytest.approx(17, abs=20)
    assert np.median(plane.within(line.to_mm, 1.5)) == pytest.approx(-63, abs=20)
    middle = np.mean([line.from_mm, line.to_mm], axis=0)
    assert plane.within(tuple(middle), 3.0).min() < -180


TIPS = [  # an arrow or cross, the radius looked at, and the values that must be found there
    pytest.param("jacket", 2.0, (300, 680), np.median, id="plaster"),
    pytest.param("long_pore", 1.6, (-1000, 650), np.min, id="pore along the wall"),
    pytest.param("level_pore", 1.8, (-1000, 650), np.min, id="pore that runs level"),
    pytest.param("crack", 2.0, (-1000, 600), np.min, id="crack"),
    pytest.param("loose_end", 2.0, (3071, 3071), np.max, id="end of the wire"),
    pytest.param("floor", 1.5, (800, 2500), np.max, id="floor"),
    pytest.param("parting", 1.2, (-1000, 800), np.min, id="gap beside the plug"),
    pytest.param("seam", 2.0, (-1000, -180), np.min, id="seam of the seal"),
]


@pytest.mark.parametrize(("name", "radius", "expected", "value_of"), TIPS)
def test_what_is_pointed_at_is_there(board, cut, name, radius, expected, value_of):
    region = board.regions[name]
    assert isinstance(region, ArrowRegion | PointRegion)
    tip = region.tip_mm if isinstance(region, ArrowRegion) else region.at_mm
    value = value_of(cut(region.view).within(tip, radius))
    assert expected[0] <= value <= expected[1]


LINES = [  # a distance, and the CT number that the thing measured exceeds and its outside does not
    pytest.param("width", 930, id="width of the urn"),
    pytest.param("wall_line", 880, id="wall"),
    pytest.param("coil_width", 2400, id="coil"),
]


@pytest.mark.parametrize(("name", "edge_hu"), LINES)
def test_a_measured_distance_ends_at_edges(board, cut, name, edge_hu):
    region = board.regions[name]
    start, end = np.array(region.from_mm), np.array(region.to_mm)
    along = (end - start) / np.linalg.norm(end - start)
    plane = cut(region.view)
    if name == "coil_width":  # the line stands beside the first turn of the row
        start, end = start + np.array([3.0, 1.0]), end + np.array([3.4, 1.1])
    for place, outwards in ((start, -along), (end, along)):
        assert plane.within(tuple(place - 2 * outwards), 1.2).max() > edge_hu
        assert np.median(plane.within(tuple(place + 2 * outwards), 1.2)) < edge_hu


def test_the_height_runs_from_the_foot_to_the_rim(board, cut):
    region = board.regions["height"]
    plane = cut(region.view)
    z = plane.along_mm[:, 0]
    foot = plane.hu[:, np.abs(plane.across_mm[0] - 40) < 3].mean(axis=1)
    lowest = z[(foot > 1000) & (z < -60)].min()
    assert lowest == pytest.approx(region.from_mm[1], abs=1.5)
    rim = plane.hu[:, np.abs(plane.across_mm[0] - 86) < 2].mean(axis=1)
    gap_under_the_lid = z[(rim < 600) & (z > 91)].min()
    assert gap_under_the_lid == pytest.approx(region.to_mm[1] + 0.5, abs=1.5)


def test_all_regions_of_the_talk_are_checked_here(board):
    checked = {str(case.values[0]) for case in (*BRIGHTER, *DARKER, *TIPS, *LINES)}
    checked |= {
        "tar_spot",
        "wax_spot",
        "across",
        "coil",
        "turns",
        "height",
        "joint",
        "joint_front",
        "headspace",
        "plies",
    }
    only_named = {"hole_width", "plug_upright", "laminae", "fan"}  # no number of their own
    assert checked | only_named == set(board.regions)
