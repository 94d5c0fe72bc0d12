"""What a folder holds, what is left out and why, and which series is meant."""

import re
import shutil
import time
from pathlib import Path

import numpy as np
import pydicom
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydicom.data import get_testdata_file

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, describe_series, index_folder, summarize
from slidekit.scans.geometry import slice_normal, slice_positions
from slidekit.scans.model import GreyWindow
from tests.scans.dicom_series import (
    AXIAL,
    ROOT_UID,
    Attributes,
    Placement,
    image_dataset,
    set_attributes,
    write_series,
)

DICOMDIR_TESTS = Path(get_testdata_file("CT_small.dcm", download=False)).parent / "dicomdirtests"
VOLUME = np.zeros((6, 4, 5), np.int16)


def reasons(folder: Path) -> dict[str, str]:
    return {one.path.name: one.reason for one in index_folder(folder).refusals}


# --- order -----------------------------------------------------------------------------------


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(order=st.permutations(range(6)), data=st.data())
def test_slices_are_sorted_along_the_normal_whatever_their_names(order, data, tmp_path):
    orientation = data.draw(st.sampled_from([AXIAL, (-1, 0, 0, 0, 1, 0), (0, 1, 0, 0, 0, -1)]))
    shutil.rmtree(tmp_path / "series", ignore_errors=True)
    step = -1.5 * np.cross(orientation[:3], orientation[3:])  # written from high to low
    write_series(tmp_path / "series", VOLUME, Placement(orientation, step_lps=step), order=order)
    series = choose_series(index_folder(tmp_path / "series"), None)
    along = slice_positions(series) @ slice_normal(series)
    assert (np.diff(along) > 0).all()
    np.testing.assert_allclose(np.diff(along), 1.5)


def test_a_real_series_numbered_against_its_positions_is_sorted_by_position():
    # pydicom's CT5N: z from -1.2375 in steps of 2.5 mm
    series = choose_series(index_folder(DICOMDIR_TESTS / "98892001" / "CT5N"), None)
    assert [one.position_lps[2] for one in series.slices] == pytest.approx(
        [-1.2375, 1.2625, 3.7625, 6.2625, 8.7625], abs=1e-4
    )
    assert series.kind == "stack"
    assert series.remarks == ()


def test_sub_folders_are_searched_and_hidden_names_passed_over(tmp_path):
    write_series(tmp_path / "a" / "b", VOLUME)
    for hidden in (tmp_path / ".cache", tmp_path / "a" / "b" / "._S1I0000"):
        if hidden.suffix or hidden.name == "._S1I0000":
            hidden.write_bytes(b"resource fork")
        else:
            write_series(hidden, VOLUME, series=2)
    catalogue = index_folder(tmp_path)
    assert [len(one.slices) for one in catalogue.series] == [6]
    assert catalogue.refusals == ()


# --- groups ----------------------------------------------------------------------------------


def test_real_scouts_of_two_directions_are_two_localizers():
    catalogue = index_folder(DICOMDIR_TESTS / "98892001" / "CT2N")
    assert [(one.kind, len(one.slices)) for one in catalogue.series] == [("localizer", 1)] * 2
    assert [one.name for one in catalogue.series] == ["4/1", "4/2"]
    assert catalogue.series[0].row_spacing_mm == pytest.approx(0.545455)
    assert catalogue.series[0].column_spacing_mm == pytest.approx(0.596847)
    assert {one.unit for one in catalogue.series} == {""}  # a localizer's values are not HU


def test_real_projections_of_many_directions_are_no_stack():
    catalogue = index_folder(DICOMDIR_TESTS / "98892003" / "MR700")
    assert [one.kind for one in catalogue.series] == ["single"] * 7


DIFFERENCES = {
    "kernel": {"ConvolutionKernel": "BONE"},
    "echo": {"EchoNumbers": 2},
    "spacing": {"PixelSpacing": [0.5, 0.5]},
    "direction": {"ImageOrientationPatient": [1, 0, 0, 0, 0.99, -0.1411]},
    "frame of reference": {"FrameOfReferenceUID": "1.2.3"},
    "padding bits": {"BitsStored": 12, "HighBit": 11},
}


@pytest.mark.parametrize("name", DIFFERENCES)
def test_images_of_one_uid_that_differ_are_never_mixed(name, tmp_path):
    some = dict.fromkeys((1, 3, 5), DIFFERENCES[name])
    write_series(tmp_path, VOLUME, attributes=Attributes(some=some))
    catalogue = index_folder(tmp_path)
    assert [(one.part, one.parts, len(one.slices)) for one in catalogue.series] == [
        (1, 2, 3),
        (2, 2, 3),
    ]


def test_directions_that_differ_by_rounding_stay_together(tmp_path):
    some = {2: {"ImageOrientationPatient": [1, 0, 0, 0, 0.99999999, -0.0001]}}
    write_series(tmp_path, VOLUME, attributes=Attributes(some=some))
    assert [len(one.slices) for one in index_folder(tmp_path).series] == [6]


def test_the_parts_of_a_uid_do_not_depend_on_file_names(tmp_path):
    kernels = {k: {"ConvolutionKernel": "BONE"} for k in range(2)}
    write_series(tmp_path / "one", VOLUME, attributes=Attributes(some=kernels))
    for k, path in enumerate(sorted((tmp_path / "one").iterdir())):
        (tmp_path / "two").mkdir(exist_ok=True)
        shutil.copy(path, tmp_path / "two" / f"{9 - k}")
    first, second = (index_folder(tmp_path / name).series for name in ("one", "two"))
    assert [one.technique for one in first] == [one.technique for one in second]
    assert [one.kernel for one in first] == ["", "BONE"]


def test_a_localizer_in_the_series_of_its_stack_is_told_apart(tmp_path):
    write_series(tmp_path, VOLUME)
    scout = Attributes({"ImageType": ["ORIGINAL", "PRIMARY", "LOCALIZER"]})
    sagittal = Placement((0, 1, 0, 0, 0, -1))
    (tmp_path / "scout").mkdir()
    write_series(tmp_path / "scout", VOLUME[:1], sagittal, scout)
    catalogue = index_folder(tmp_path)
    assert [one.kind for one in catalogue.series] == ["stack", "localizer"]
    assert choose_series(catalogue, None).kind == "stack"
    assert choose_series(catalogue, "1").kind == "stack"
    assert choose_series(catalogue, "1/2").kind == "localizer"


def test_pictures_without_a_place_are_pages(tmp_path):
    image = image_dataset(VOLUME[0])
    image.save_as(tmp_path / "page", enforce_file_format=True)
    for name in ("SC_rgb_rle.dcm", "examples_palette.dcm"):
        shutil.copy(get_testdata_file(name, download=False), tmp_path)
    catalogue = index_folder(tmp_path)
    assert {one.kind for one in catalogue.series} == {"page"}
    assert choose_series(catalogue, catalogue.series[0].uid) is catalogue.series[0]


def test_a_stack_is_chosen_before_pages_and_pages_before_nothing(tmp_path):
    image_dataset(VOLUME[0], series=7).save_as(tmp_path / "page", enforce_file_format=True)
    assert choose_series(index_folder(tmp_path), None).kind == "page"
    write_series(tmp_path, VOLUME)
    assert choose_series(index_folder(tmp_path), None).kind == "stack"


# --- doubles ---------------------------------------------------------------------------------


def doubled_series(folder: Path, attributes: dict[int, dict[str, object]]) -> Path:
    volume = np.zeros((12, 4, 5), np.int16)
    positions = [(0, 0, k // 2) for k in range(12)]
    return write_series(folder, volume, Placement(positions=positions), Attributes({}, attributes))


def test_two_phases_in_one_place_are_told_apart_by_their_acquisition(tmp_path):
    phases = {k: {"AcquisitionNumber": 1 + k % 2} for k in range(12)}
    catalogue = index_folder(doubled_series(tmp_path, phases))
    assert [one.name for one in catalogue.series] == ["1/1", "1/2"]
    assert [len(one.slices) for one in catalogue.series] == [6, 6]
    assert [one.technique for one in catalogue.series] == [("acquisition 1",), ("acquisition 2",)]


def test_doubles_that_nothing_tells_apart_are_refused_by_name(tmp_path):
    doubled_series(tmp_path, {})
    message = (
        r"^.+ holds no image that can be used: S1I0000: series …\S+ holds images that lie in the"
        r" same place, S1I0000 and S1I0001, S1I0002 and S1I0003, S1I0004 and S1I0005, and 3 more"
        r" pairs\. Write the path of a folder with the CT or MR images of a series\.$"
    )
    with pytest.raises(ScanError, match=message):
        index_folder(tmp_path)


def test_one_doubled_slice_refuses_its_series_and_says_so_when_it_is_chosen(tmp_path):
    positions = [(0, 0, z) for z in (0, 1, 2, 2.005, 3, 4)]
    write_series(tmp_path, VOLUME, Placement(positions=positions))
    write_series(tmp_path, VOLUME[:1], series=2)
    catalogue = index_folder(tmp_path)
    assert [one.name for one in catalogue.series] == ["2"]
    message = r"^No series answers to '\S+' in .+; left out: S1I0000: series …\S+ holds images that"
    with pytest.raises(ScanError, match=message):
        choose_series(catalogue, f"{ROOT_UID}.1")


def test_an_exact_copy_of_a_file_is_left_out_and_named(tmp_path):
    write_series(tmp_path, VOLUME)
    shutil.copy(tmp_path / "S1I0002", tmp_path / "copy")
    assert reasons(tmp_path) == {"copy": "it is a copy of another file"}
    assert len(choose_series(index_folder(tmp_path), None).slices) == 6


def test_many_copies_are_told_in_one_line(tmp_path):
    write_series(tmp_path, VOLUME)
    shutil.copytree(tmp_path, tmp_path / "again")
    left_out = summarize(index_folder(tmp_path).refusals)
    assert left_out == "S1I0000 and 5 more: it is a copy of another file"


# --- refusals --------------------------------------------------------------------------------


def test_no_folder_a_file_and_an_empty_folder_are_told_apart(tmp_path):
    with pytest.raises(ScanError, match=r"^There is no folder .+nowhere\. Write the path of a"):
        index_folder(tmp_path / "nowhere")
    with pytest.raises(ScanError, match=r"^.+ is empty\. Write the path of a folder of DICOM"):
        index_folder(tmp_path)
    (tmp_path / "notes.txt").write_text("no scan")
    with pytest.raises(ScanError, match=r"^.+notes\.txt is a file\. Write the path of the folder"):
        index_folder(tmp_path / "notes.txt")
    message = r"^.+ holds no image that can be used: notes\.txt: it is not a DICOM file\. Write"
    with pytest.raises(ScanError, match=message):
        index_folder(tmp_path)


BROKEN = {
    "it holds no image": {"PixelData": None},
    "its pixels take 64 bits; only 8, 16 and 32 are read": {"BitsAllocated": 64},
    "its pixels take 1 bit; only 8, 16 and 32 are read": {"BitsAllocated": 1},
    "it claims to hold 9999999 frames, which cannot be right": {"NumberOfFrames": 9999999},
    "its description of the pixels contradicts itself (Bits Stored and High Bit)": {"HighBit": 3},
    "it claims to be 65535 × 65535 pixels large, which cannot be right": {
        "Rows": 65535,
        "Columns": 65535,
    },
    "its Pixel Data are 40 bytes long instead of 400": {"Rows": 40},
    "it is a structured report, not an image": {"SOPClassUID": "1.2.840.10008.5.1.4.1.1.88.11"},
    "it gives the directions 1\\1\\0\\0\\1\\0 (Image Orientation), which are not two unit vectors"
    " at a right angle": {
        "ImagePositionPatient": [0, 0, 0],
        "ImageOrientationPatient": [1, 1, 0, 0, 1, 0],
        "PixelSpacing": [1, 1],
    },
}


@pytest.mark.parametrize("reason", BROKEN)
def test_what_cannot_be_used_is_left_out_with_its_reason(reason, tmp_path):
    write_series(tmp_path, VOLUME[:2])
    image = image_dataset(VOLUME[0], number=9, series=9)
    set_attributes(image, BROKEN[reason])
    image.save_as(tmp_path / "broken", enforce_file_format=True)
    assert reasons(tmp_path) == {"broken": reason}
    assert len(choose_series(index_folder(tmp_path), None).slices) == 2


def test_a_directory_and_reports_of_a_real_medium_are_left_out(tmp_path):
    for name in ("DICOMDIR", "rtplan.dcm", "rtstruct.dcm", "waveform_ecg.dcm", "rtdose.dcm"):
        shutil.copy(get_testdata_file(name, download=False), tmp_path)
    write_series(tmp_path, VOLUME)
    assert reasons(tmp_path) == {
        "DICOMDIR": "it is a directory of a medium, not an image",
        "rtplan.dcm": "it is a radiotherapy plan, not an image",
        "rtstruct.dcm": "it is not a DICOM file",  # it lacks the preamble,
        "waveform_ecg.dcm": "it is a waveform, not an image",
        "rtdose.dcm": "it is a radiotherapy dose map, not an image",
    }


def test_a_file_cut_short_in_its_header_is_named(tmp_path):
    write_series(tmp_path, VOLUME)
    whole = (tmp_path / "S1I0003").read_bytes()
    (tmp_path / "S1I0003").write_bytes(whole[:500])
    (reason,) = reasons(tmp_path).values()
    assert re.fullmatch(r"its attribute \(.+\) claims \d+ bytes, but .+|it ends inside .+", reason)
    assert choose_series(index_folder(tmp_path), None).remarks == (
        "1 slice is missing after slice 3 (2.00 mm instead of 1.00 mm);"
        " reformatted pictures stay black there",
    )


def test_a_file_cut_short_in_its_pixels_is_remarked_by_its_slice(tmp_path):
    write_series(tmp_path, VOLUME)
    whole = (tmp_path / "S1I0003").read_bytes()
    (tmp_path / "S1I0003").write_bytes(whole[:-10])
    series = choose_series(index_folder(tmp_path), None)
    assert series.remarks == ("slice 4 cannot be shown: the file ends before its pixels",)


def test_a_file_that_cannot_be_opened_is_named(tmp_path):
    write_series(tmp_path, VOLUME)
    (tmp_path / "lost").symlink_to(tmp_path / "nowhere")
    assert reasons(tmp_path) == {"lost": "it cannot be opened: No such file or directory"}


def test_many_files_of_one_reason_are_summarized_in_one_clause(tmp_path):
    write_series(tmp_path, VOLUME)
    for name in ("a.txt", "b.txt", "c.txt"):
        (tmp_path / name).write_text("no scan")
    catalogue = index_folder(tmp_path)
    assert summarize(catalogue.refusals) == "a.txt and 2 more: it is not a DICOM file"


# --- remarks and values ----------------------------------------------------------------------

REMARKS = {
    "text is burned into the pixels: look for names before showing it": {
        "BurnedInAnnotation": "YES"
    },
    "the pixels were once compressed with loss: their values are approximate": {
        "LossyImageCompression": "01"
    },
    "some slices carry an overlay, drawn on views with `overlays: true` alone": {
        "OverlayRows": 4,
        "OverlayColumns": 5,
        "OverlayBitPosition": 0,
        "OverlayData": b"\1\0\0\0",
    },
    "the letters at the edges are those of an upright body, not of a quadruped": {
        "AnatomicalOrientationType": "QUADRUPED"
    },
}


@pytest.mark.parametrize("remark", REMARKS)
def test_what_a_speaker_must_know_is_remarked(remark, tmp_path):
    image_attributes = dict(REMARKS[remark])
    if "OverlayRows" in image_attributes:
        write_series(tmp_path, VOLUME)
        for path in tmp_path.iterdir():
            image = pydicom.dcmread(path)
            image.add_new(0x60000010, "US", 4)
            image.add_new(0x60000011, "US", 5)
            image.add_new(0x60000102, "US", 0)
            image.add_new(0x60003000, "OB", b"\1\0\0\0")
            image.save_as(path)
    else:
        write_series(tmp_path, VOLUME, attributes=Attributes(image_attributes))
    assert choose_series(index_folder(tmp_path), None).remarks == (remark,)


def test_a_rim_below_air_is_remarked_when_no_padding_is_declared(tmp_path):
    volume = np.zeros((3, 20, 20), np.int16)
    volume[:, :4, :4] = -2000
    write_series(tmp_path / "silent", volume)
    write_series(tmp_path / "declared", volume, attributes=Attributes({"PixelPaddingValue": -2000}))
    assert choose_series(index_folder(tmp_path / "silent"), None).remarks == (
        "part of the rim holds -2000 HU, less than air: perhaps padding that the header does not"
        " declare; mean and min slabs count it",
    )
    declared = choose_series(index_folder(tmp_path / "declared"), None)
    assert (declared.remarks, declared.padding) == ((), (-2000, -2000))


UNITS = [
    ({"RescaleType": "HU_MOD"}, "modified HU"),
    ({"RescaleType": "A. Person"}, ""),  # a vendor's own text is not repeated
    ({"Modality": "PT", "Units": "BQML"}, "Bq/ml"),
    ({"Modality": "PT", "Units": "PROPCNTS"}, ""),
    ({"Modality": "MR", "RescaleType": "normalized"}, ""),
    ({}, "HU"),  # PS3.3 C.8.2.1: Rescale Type may be absent when it is HU
    ({"RescaleType": "HU"}, "HU"),
    ({"RescaleType": "US"}, ""),  # C.11.1.1.2: unspecified
    ({"RescaleType": "OD"}, "OD"),
    ({"Modality": "MR"}, ""),
    ({"ImageType": ["ORIGINAL", "PRIMARY", "LOCALIZER"]}, ""),
]


@pytest.mark.parametrize(("attributes", "unit"), UNITS)
def test_only_ct_numbers_are_called_hu(attributes, unit, tmp_path):
    write_series(tmp_path, VOLUME, attributes=Attributes(attributes))
    assert index_folder(tmp_path).series[0].unit == unit


WINDOWS = [
    ({}, ()),
    ({"WindowCenter": 40, "WindowWidth": 400}, (GreyWindow(40, 400),)),
    (
        {"WindowCenter": [40, 600], "WindowWidth": [400, 2800]},
        (GreyWindow(40, 400), GreyWindow(600, 2800)),
    ),
    ({"WindowCenter": 40}, ()),
    ({"WindowCenter": [40, 30], "WindowWidth": [0, 80]}, (None, GreyWindow(30, 80))),
    (
        {"WindowCenter": 40, "WindowWidth": 0.5, "VOILUTFunction": "SIGMOID"},
        (GreyWindow(40, 0.5, "sigmoid"),),
    ),
    (
        {"WindowCenter": 40, "WindowWidth": 400, "VOILUTFunction": "LINEAR_EXACT"},
        (GreyWindow(40, 400, "linear_exact"),),
    ),
    ({"WindowCenter": 40, "WindowWidth": 400, "VOILUTFunction": "LOG"}, (None,)),
]


@pytest.mark.parametrize(("attributes", "windows"), WINDOWS)
def test_the_windows_of_a_file_are_kept_in_order(attributes, windows, tmp_path):
    write_series(tmp_path, VOLUME, attributes=Attributes(attributes))
    (series,) = index_folder(tmp_path).series
    assert series.slices[0].windows == windows
    assert series.stored_window == next(filter(None, windows), None)


# --- choosing --------------------------------------------------------------------------------


@pytest.fixture
def three_series(tmp_path):
    for number, description in ((3, "Head"), (4, "Head bone"), (40, "")):
        attributes = Attributes({"SeriesDescription": description} if description else {})
        write_series(tmp_path, VOLUME[:number], attributes=attributes, series=number)
    return index_folder(tmp_path)


@pytest.mark.parametrize(
    ("wanted", "number"),
    [
        (f"{ROOT_UID}.3", 3),
        ("3", 3),
        ("40", 40),
        ("head", 3),
        ("Head bone", 4),
        ("498.1.40", 40),
        ("…498.1.40", 40),
        (" 4 ", 4),
        ("4/1", 4),
    ],
)
def test_a_series_answers_to_uid_number_description_and_uid_ending(three_series, wanted, number):
    assert choose_series(three_series, wanted).number == number


@pytest.mark.parametrize("wanted", [None, "5", "98.1.5", "4/2", ""])
def test_an_unclear_choice_lists_every_series_with_its_name(three_series, wanted):
    with pytest.raises(ScanError) as caught:
        choose_series(three_series, wanted)
    assert caught.value.instead == (
        "Write one of these as `series`:"
        " 3 (CT, stack, 3 slices of 5 × 4, 1 × 1 × 1 mm) 'Head';"
        " 4 (CT, stack, 4 slices of 5 × 4, 1 × 1 × 1 mm) 'Head bone';"
        " 40 (CT, stack, 6 slices of 5 × 4, 1 × 1 × 1 mm)"
    )
    what = "holds 3 series" if wanted is None else f"No series answers to {wanted!r}"
    assert what in caught.value.wrong


def test_series_of_one_number_are_named_by_the_ends_of_their_uids(tmp_path):
    write_series(tmp_path / "a", VOLUME, series=1)
    same_number = Attributes({"SeriesNumber": 1})
    write_series(tmp_path / "b", VOLUME, attributes=same_number, series=12345678)
    catalogue = index_folder(tmp_path)
    assert sorted(one.name for one in catalogue.series) == ["….498.1.1", "…12345678"]
    for one in catalogue.series:
        assert choose_series(catalogue, one.name) == one


def test_a_description_never_stands_in_what_describes_a_series(three_series):
    assert "Head" not in "".join(map(describe_series, three_series.series))


# --- privacy ---------------------------------------------------------------------------------


IDENTIFYING = """
    PatientName PatientID PatientComments OtherPatientIDs PatientAddress AccessionNumber
    InstitutionName InstitutionAddress ReferringPhysicianName OperatorsName StationName
    PerformingPhysicianName StudyDescription ProtocolName StudyID DeviceSerialNumber
    ImageComments AdditionalPatientHistory Occupation EthnicGroup Manufacturer
    RequestingPhysician BodyPartExamined PatientMotherBirthName CountryOfResidence
"""


def test_nothing_that_identifies_a_person_is_kept(tmp_path):
    # attributes of PS3.15 table E.1-1 and others, every one with a word of its own
    canaries = {keyword: f"CANARY{k}" for k, keyword in enumerate(IDENTIFYING.split())}
    dates = {"PatientBirthDate": "19010203", "StudyDate": "19040506", "StudyTime": "070809"}
    write_series(tmp_path, VOLUME, attributes=Attributes({**canaries, **dates, "PatientSex": "O"}))
    kept = repr(index_folder(tmp_path))
    assert "CANARY" not in kept
    assert not any(date in kept for date in dates.values())


# --- speed -----------------------------------------------------------------------------------


def test_a_folder_is_indexed_several_times_faster_than_by_reading_it_with_pydicom(tmp_path):
    write_series(tmp_path, np.zeros((150, 8, 8), np.int16))

    def fastest(work) -> float:
        times = []
        for _ in range(3):
            start = time.perf_counter()
            work()
            times.append(time.perf_counter() - start)
        return min(times)

    def plain() -> None:
        for path in tmp_path.iterdir():
            assert pydicom.dcmread(path, stop_before_pixels=True).ImagePositionPatient

    assert fastest(lambda: index_folder(tmp_path)) < 0.6 * fastest(plain)


@pytest.mark.parametrize(
    ("keyword", "value", "told"),
    [
        ("ImagePositionPatient", ["0", "0", "1e9"], "it gives 1e+09 as a place in millimetres"),
        ("PixelSpacing", ["1e-9", "1"], "it gives 1e-09 as the spacing of pixels in millimetres"),
        ("RescaleSlope", "1e300", "it gives 1e+300 as a factor of its values"),
        ("RescaleIntercept", "-1e99", "it gives -1e+99 as a shift of its values"),
    ],
)
def test_numbers_that_no_scanner_gives_are_refused(keyword, value, told, tmp_path):
    write_series(tmp_path, VOLUME, attributes=Attributes(some={2: {keyword: value}}))
    assert reasons(tmp_path) == {"S1I0002": f"{told}, which cannot be right"}
