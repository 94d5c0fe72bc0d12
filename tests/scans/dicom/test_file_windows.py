"""Windows and tables that files carry: by number, by explanation, and what there is."""

import nibabel
import numpy as np
import pytest
from pydicom import dcmwrite
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.dicom.file_windows import choose_stored, describe_windows
from slidekit.scans.dicom.tables import read_value_table
from slidekit.scans.model import GreyWindow, LookupTable, PlaneRequest
from slidekit.scans.nifti import open_nifti
from slidekit.scans.planes.read import read_planes
from tests.scans.dicom.test_library import STORED, enhanced, group
from tests.scans.dicom_series import Attributes, image_dataset, write_series

VOLUME = np.arange(4 * 6 * 5, dtype=np.int16).reshape(4, 6, 5)
TWO = {
    "WindowCenter": [40, 400],
    "WindowWidth": [350, 1800],
    "WindowCenterWidthExplanation": ["SOFT", "BONE"],
}


def table(first: int, entries, bits: int = 16, vr: str = "SS", **more) -> Dataset:
    item = Dataset()
    item.add_new("LUTDescriptor", vr, [len(entries) & 0xFFFF, first, bits])
    if isinstance(entries, bytes):
        item.add_new("LUTData", "OW", entries)
    else:
        item.add_new("LUTData", "US", list(entries))
    for keyword, value in more.items():
        setattr(item, keyword, value)
    return item


def series_with(folder, every, some=None):
    write_series(folder, VOLUME, attributes=Attributes(every, some or {}))
    return choose_series(index_folder(folder), None)


@pytest.mark.parametrize("wanted", ["2", "BONE", "bone"])
def test_a_window_answers_to_its_number_and_its_explanation(wanted, tmp_path):
    found = choose_stored(series_with(tmp_path, TWO), 1, wanted)
    assert (found.scale, found.number, found.count) == (GreyWindow(400, 1800), 2, 2)
    assert found.of_slice is None


def test_the_function_of_the_file_goes_with_its_windows(tmp_path):
    series = series_with(tmp_path, {**TWO, "VOILUTFunction": "SIGMOID"})
    assert choose_stored(series, 0, "1").scale == GreyWindow(40, 350, "sigmoid")


def test_explanations_are_read_in_the_character_set_of_the_file(tmp_path):
    attributes = {
        "SpecificCharacterSet": "ISO_IR 100",
        "WindowCenter": [40, 50],
        "WindowWidth": [350, 80],
        "WindowCenterWidthExplanation": ["Größe", "über"],
    }
    assert choose_stored(series_with(tmp_path, attributes), 0, "ÜBER").number == 2


def test_slices_that_carry_different_windows_are_told(tmp_path):
    some = {2: {"WindowCenter": [45, 400]}}
    series = series_with(tmp_path, TWO, some)
    assert "the windows stored in the files differ from slice to slice" in series.remarks
    first, other = (choose_stored(series, k, "1") for k in (0, 2))
    assert (first.scale.center, first.of_slice) == (40, 1)
    assert (other.scale.center, other.of_slice) == (45, 3)
    assert choose_stored(series, 2, "2").of_slice is None  # all carry the same second one


def test_slices_that_agree_leave_no_remark(tmp_path):
    assert series_with(tmp_path, TWO).remarks == ()


LISTING = "stored: 1 (40/350 'SOFT') or stored: 2 (400/1800 'BONE')"


@pytest.mark.parametrize(
    ("wanted", "what"),
    [
        ("3", "no window 3"),
        ("0", "no window 0"),
        ("LUNG", "no window or table that is called 'LUNG'"),
        ("table", "no table"),
        ("table 2", "no table 2"),
    ],
)
def test_what_a_file_lacks_is_answered_with_what_it_has(wanted, what, tmp_path):
    with pytest.raises(ScanError) as caught:
        choose_stored(series_with(tmp_path, TWO), 1, wanted)
    told = f"There is {what} in the files. For slice 2 of the scan write {LISTING}."
    assert str(caught.value) == told


def test_a_scan_without_windows_says_what_to_write(tmp_path):
    with pytest.raises(ScanError) as caught:
        choose_stored(series_with(tmp_path, {}), 0, "1")
    assert str(caught.value) == (
        "There is no window 1 in the files: slice 1 of the scan carries none. Write a window of"
        " the style, {center: 40, width: 400} or {percentiles: [1, 99]}."
    )


def test_a_window_that_cannot_be_is_told(tmp_path):
    series = series_with(tmp_path, {"WindowCenter": [40, 30], "WindowWidth": [0, 80]})
    with pytest.raises(ScanError) as caught:
        choose_stored(series, 0, "1")
    assert str(caught.value) == (
        "Window 1 of slice 1 cannot be applied: it is of a function that the standard does not"
        " know, or its width is too small. Write center and width yourself, or another:"
        " stored: 1 (cannot be applied) or stored: 2 (30/80)."
    )


def test_tables_answer_to_number_and_explanation(tmp_path):
    tables = Sequence([table(-5, [0, 9]), table(-7, [1, 2, 3], bits=12, LUTExplanation="Lungs")])
    series = series_with(tmp_path, {**TWO, "VOILUTSequence": tables})
    assert choose_stored(series, 0, "table").scale == LookupTable(-5, (0, 9), 16)
    for wanted in ("table 2", "lungs"):
        found = choose_stored(series, 0, wanted)
        assert found.scale == LookupTable(-7, (1, 2, 3), 12)
        assert (found.number, found.count, found.of_slice) == (2, 2, 1)
    assert describe_windows(series) == (
        "stored: 1 (40/350 'SOFT'), stored: 2 (400/1800 'BONE'), stored: table 1 (2 entries)"
        " or stored: table 2 (3 entries 'Lungs')"
    )


def test_the_windows_of_frames_are_those_of_their_functional_groups(tmp_path):
    image = enhanced(STORED)
    del image.SharedFunctionalGroupsSequence[0].FrameVOILUTSequence
    for k, frame in enumerate(image.PerFrameFunctionalGroupsSequence):
        window = group(
            "FrameVOILUTSequence",
            WindowCenter=[10 * k, 70],
            WindowWidth=[100, 20],
            WindowCenterWidthExplanation=["WIDE", f"FRAME {k}"],
            VOILUTFunction="LINEAR_EXACT",
        )
        frame.update(window)
    image.save_as(tmp_path / "frames", enforce_file_format=True)
    series = choose_series(index_folder(tmp_path), None)
    assert [one.windows[0].center for one in series.slices] == [20, 10, 0]
    assert choose_stored(series, 0, "frame 2").scale == GreyWindow(70, 20, "linear_exact")
    with pytest.raises(ScanError, match=r"^There is no window or table that is called 'FRAME 0'"):
        choose_stored(series, 0, "FRAME 0")


def test_the_display_range_of_a_volume_is_its_window_and_has_no_name(tmp_path):
    image = nibabel.Nifti1Image(VOLUME, np.eye(4))
    image.header["cal_min"], image.header["cal_max"] = 10, 90
    nibabel.save(image, tmp_path / "volume.nii")
    series = open_nifti(tmp_path / "volume.nii", None)
    assert choose_stored(series, 0, "1").scale == GreyWindow(50, 80, "linear_exact")
    assert describe_windows(series) == "stored: 1 (50/80 linear_exact)"
    with pytest.raises(ScanError, match=r"called 'BONE' in the files\. For slice 1 of the scan"):
        choose_stored(series, 0, "BONE")


# --- tables of values --------------------------------------------------------------------------


def values_of(folder, every):
    series = series_with(folder, every)
    (plane,) = read_planes(series, [PlaneRequest("acquired", slice_number=1)])
    return series, plane


def test_values_come_out_of_the_modality_table_with_its_unit(tmp_path):
    item = table(2, [-7 & 0xFFFF, 20, 30], ModalityLUTType="OD")
    every = {"ModalityLUTSequence": Sequence([item]), "RescaleSlope": None}
    series, plane = values_of(tmp_path, {**every, "RescaleIntercept": None})
    assert series.unit == "OD"
    # outputs are unsigned; inputs outside the table have its first or last
    assert plane.values[0].tolist() == [65_529, 65_529, 65_529, 20, 30]
    assert (plane.values[1:] == 30).all()


def test_a_ct_whose_values_come_out_of_a_table_of_no_known_type_has_no_unit(tmp_path):
    item = table(0, [5, 6], ModalityLUTType="US")
    series, plane = values_of(tmp_path, {"ModalityLUTSequence": Sequence([item])})
    assert series.unit == ""
    assert plane.values.dtype == np.int16


def test_padding_is_found_before_the_table_is_applied(tmp_path):
    every = {
        "ModalityLUTSequence": Sequence([table(0, [50, 60, 70], ModalityLUTType="US")]),
        "PixelPaddingValue": 1,
    }
    _, plane = values_of(tmp_path, every)
    assert plane.absent.sum() == 1
    assert plane.absent[0, 1]


@pytest.mark.parametrize("vr", ["US", "SS"])
def test_a_first_value_is_signed_as_the_pixels_are(vr, tmp_path):
    # PS3.3 C.11.1.1.1: 65436 for unsigned pixels, -100 for signed ones
    first = 65_436 if vr == "US" else -100
    signed = series_with(tmp_path / "signed", {"ModalityLUTSequence": Sequence([
        table(first, [1, 2], vr=vr, ModalityLUTType="US")])})  # fmt: skip
    assert read_value_table(signed.slices[0]).first_value == -100
    image = image_dataset(np.zeros((4, 5), np.uint16))
    image.ImagePositionPatient, image.PixelSpacing = [0, 0, 0], [1, 1]
    image.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
    image.ModalityLUTSequence = Sequence([table(first, [1, 2], vr=vr, ModalityLUTType="US")])
    (tmp_path / "unsigned").mkdir()
    image.save_as(tmp_path / "unsigned" / "one")
    unsigned = choose_series(index_folder(tmp_path / "unsigned"), None)
    assert read_value_table(unsigned.slices[0]).first_value == 65_436


def test_entries_of_one_byte_are_read_too(tmp_path):
    item = table(0, bytes([3, 1, 4, 1]), bits=8, ModalityLUTType="US")
    _, plane = values_of(tmp_path, {"ModalityLUTSequence": Sequence([item])})
    assert plane.values[0].tolist() == [3, 1, 4, 1, 1]


BROKEN = [
    (table(0, b"\1\0", ModalityLUTType="US"), [4, 0, 16], "it has 2 bytes for 4 entries"),
    (table(0, [1], ModalityLUTType="US"), [1, 0, 20], "its entries have 20 bits"),
    (table(0, [1], ModalityLUTType="US"), [1, 0], "its descriptor has 2 numbers instead of 3"),
]


@pytest.mark.parametrize(("item", "descriptor", "what"), BROKEN)
def test_a_damaged_table_is_told(item, descriptor, what, tmp_path):
    item.LUTDescriptor = descriptor
    series = series_with(tmp_path, {"ModalityLUTSequence": Sequence([item])})
    with pytest.raises(ScanError) as caught:
        read_planes(series, [PlaneRequest("acquired", slice_number=1)])
    assert str(caught.value) == (
        f"A table of the file (LUT Sequence) is damaged: {what}. Export the series again, or leave"
        " it out."
    )


def test_a_table_without_its_data_is_told(tmp_path):
    series = series_with(tmp_path, {"ModalityLUTSequence": Sequence([Dataset()])})
    message = r"^A table of the file \(LUT Sequence\) is damaged\. Export the series again\.$"
    with pytest.raises(ScanError, match=message):
        read_planes(series, [PlaneRequest("acquired", slice_number=1)])


def test_an_empty_sequence_of_tables_is_none(tmp_path):
    every = {"ModalityLUTSequence": Sequence([]), "VOILUTSequence": Sequence([])}
    series, plane = values_of(tmp_path, every)
    np.testing.assert_array_equal(plane.values, VOLUME[0])
    assert (series.unit, series.slices[0].grey_tables) == ("HU", False)


# --- values without a table ----------------------------------------------------------------------


def test_each_slice_has_its_own_slope_as_in_pet(tmp_path):
    some = {k: {"RescaleSlope": 0.5 * (k + 1)} for k in range(4)}
    series = series_with(tmp_path, {"Modality": "PT", "Units": "BQML"}, some)
    (plane,) = read_planes(series, [PlaneRequest("coronal", at_mm=0)])
    expected = VOLUME[::-1, 0] * 0.5 * np.arange(4, 0, -1)[:, None]  # the head is at the top
    np.testing.assert_array_equal(plane.values, expected)
    assert (series.unit, plane.unit) == ("Bq/ml", "Bq/ml")


@pytest.mark.parametrize("syntax", ["plain", "big endian"])
def test_overlays_in_high_bits_are_masked(syntax, tmp_path):
    values = np.arange(20, dtype=np.uint16).reshape(4, 5) * 200
    image = image_dataset(values | (np.uint16(0b1010) << 12))
    image.BitsStored, image.HighBit = 12, 11
    image.ImagePositionPatient, image.PixelSpacing = [0, 0, 0], [1, 1]
    image.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
    if syntax == "big endian":
        image.file_meta.TransferSyntaxUID = "1.2.840.10008.1.2.2"
        image.PixelData = np.frombuffer(image.PixelData, "<u2").astype(">u2").tobytes()
        image["PixelData"].VR = "OW"
    little = syntax == "plain"
    dcmwrite(tmp_path / "one", image, implicit_vr=False, little_endian=little, force_encoding=True)
    series = choose_series(index_folder(tmp_path), None)
    (plane,) = read_planes(series, [PlaneRequest("acquired")])
    np.testing.assert_array_equal(plane.values, values)
