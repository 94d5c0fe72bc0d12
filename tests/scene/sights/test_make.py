import pytest

from slidekit.basis import read_basis
from slidekit.build import chosen_slides
from slidekit.errors import StoryboardError
from slidekit.scene.sights.make import make_sights
from slidekit.scene.sights.opening import open_library
from slidekit.scene.sights.wanted import wanted_by
from tests.scans.dicom_series import Attributes
from tests.talks import TALK, write_block, write_talk


def sights_of(folder, text=TALK):
    basis = read_basis(write_talk(folder, text), None)
    wanted = wanted_by(basis.source.board, chosen_slides(basis.source, ()), 200)
    library = open_library(basis.source, wanted.scans(basis.source))
    return make_sights(basis.source, library, wanted, basis.style)


def faults(folder, text):
    with pytest.raises(StoryboardError) as caught:
        sights_of(folder, text)
    return [str(fault).removeprefix(f"{folder}/") for fault in caught.value.faults]


def test_only_views_that_slides_show_are_read(tmp_path):
    unused = "  unused: {scan: block, plane: axial, at_mm: 900, window: bone}\nregions:"
    assert set(sights_of(tmp_path, TALK.replace("regions:", unused, 1)).views) == {"base", "front"}


def test_a_region_may_show_on_another_view_whose_plane_it_touches(tmp_path):
    near = TALK.replace("center_mm: [16, 12]", "center_mm: [16, 12, 4]").replace(
        "{view: front, regions: [gap]}", "{view: base2, regions: [coil, gap2]}"
    )
    view = "  base2: {scan: block, plane: axial, at_mm: 4.5, window: bone}\nregions:\n"
    near = near.replace("regions:\n", view, 1).replace(
        "  gap:\n    view: front\n    shape: line\n    from_mm: [8, 2]\n    to_mm: [20, 2]",
        "  gap2:\n    view: base2\n    shape: line\n    from_mm: [8, 2]\n    to_mm: [20, 2]",
    )
    near = near.replace("[show gap]", "[show gap2]").replace("{gap.", "{gap2.")
    assert set(sights_of(tmp_path, near).regions) == {"coil", "gap2"}


def test_a_region_far_from_a_views_plane_is_refused_there(tmp_path):
    text = TALK.replace("{view: front, regions: [gap]}", "{view: front, regions: [gap, coil]}")
    assert faults(tmp_path, text) == [
        "talk.yaml:56: slides[1].views[1].regions[1]: region `coil` on view `front`: it lies "
        "4.0 mm away from the plane of this view, which shows what is within 1.0 mm. "
        "Choose a view whose plane touches it, or make the slab thicker."
    ]


def test_a_region_does_not_carry_over_to_another_frame_of_reference(tmp_path):
    write_block(tmp_path / "second")
    text = TALK.replace(
        "views:\n",
        "  second: {folder: second, credit: Made for a test, rights: CC0 1.0}\nviews:\n",
        1,
    ).replace("  front:\n    scan: block", "  front:\n    scan: second")
    text = text.replace("plane: coronal\n    at_mm: 12", "plane: axial\n    at_mm: 4")
    text = text.replace("{view: front, regions: [gap]}", "{view: front, regions: [gap, coil]}")
    write_block(tmp_path / "second", Attributes(every={"FrameOfReferenceUID": "1.2.3"}))
    assert faults(tmp_path, text) == [
        "talk.yaml:57: slides[1].views[1].regions[1]: region `coil` on view `front`: its "
        "coordinates belong to scan `block`, and scan `second` has another frame of reference. "
        "Define a second region on this view."
    ]


def test_all_views_that_cannot_be_shown_are_told_at_once(tmp_path):
    text = TALK.replace("at_mm: 4", "at_mm: 40").replace("at_mm: 12", "at_mm: 120")
    assert len(faults(tmp_path, text)) == 2
