"""Stored values to modality values: bits, signs, rescale, padding."""

import numpy as np
import pytest

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.pixels import read_samples, read_stored
from tests.scans.dicom_series import Attributes, write_series


def series_of(folder, stored, **attributes):
    write_series(folder, np.asarray(stored)[None], attributes=Attributes(attributes))
    return choose_series(index_folder(folder), None)


def samples_of(folder, stored, **attributes):
    return read_samples(series_of(folder, stored, **attributes), 0)


# PS3.3 C.11.1.1.2: output = slope * stored + intercept
RESCALED = [
    ("int16", [[-1024, 0, 3071]], {"RescaleIntercept": -1024}, np.int16, [-2048, -1024, 2047]),
    ("uint16", [[0, 1024, 4095]], {"RescaleIntercept": -1024}, np.int16, [-1024, 0, 3071]),
    ("uint16", [[0, 1024, 65535]], {"RescaleIntercept": -1024}, np.float32, [-1024, 0, 64511]),
    ("int16", [[-32768, 0, 5]], {"RescaleIntercept": -1024}, np.float32, [-33792, -1024, -1019]),
    ("uint8", [[0, 128, 255]], {}, np.int16, [0, 128, 255]),
    ("int8", [[-128, 0, 127]], {}, np.int16, [-128, 0, 127]),
    ("uint16", [[0, 1, 2]], {"RescaleSlope": 0.5, "RescaleIntercept": 1}, np.float32, [1, 1.5, 2]),
    ("uint16", [[0, 1, 2]], {"RescaleSlope": -1}, np.float32, [0, -1, -2]),
    ("uint16", [[0, 1, 2]], {"RescaleIntercept": 0.5}, np.float32, [0.5, 1.5, 2.5]),
    ("uint16", [[1, 2, 3]], {"RescaleSlope": None, "RescaleIntercept": None}, np.int16, [1, 2, 3]),
]


@pytest.mark.parametrize(("stored_type", "stored", "attributes", "kind", "expected"), RESCALED)
def test_values_are_rescaled_and_int16_when_that_is_exact(
    stored_type, stored, attributes, kind, expected, tmp_path
):
    samples = samples_of(tmp_path, np.array(stored, stored_type), **attributes)
    assert samples.values.dtype == kind
    assert samples.values.tolist() == [expected]
    assert samples.absent is None


def test_every_slice_has_its_own_slope(tmp_path):
    some = {0: {"RescaleSlope": 2}, 1: {"RescaleSlope": 3}}
    write_series(tmp_path, np.ones((2, 2, 2), np.uint16), attributes=Attributes(some=some))
    series = choose_series(index_folder(tmp_path), None)
    assert [read_samples(series, k).values[0, 0] for k in (0, 1)] == [2, 3]


def test_bits_above_those_stored_are_cleared(tmp_path):
    # an old overlay in the upper four bits of unsigned 12-bit values
    stored = np.array([[0x0123, 0xF123, 0x8FFF]], np.uint16)
    samples = samples_of(tmp_path, stored, BitsStored=12, HighBit=11)
    assert samples.values.tolist() == [[0x123, 0x123, 0xFFF]]


def test_the_sign_of_twelve_bit_values_is_extended(tmp_path):
    stored = np.array([[0x0800, 0x0FFF, 0x07FF]], np.int16)  # -2048, -1, 2047 in 12 bits
    samples = samples_of(tmp_path, stored, BitsStored=12, HighBit=11)
    assert samples.values.tolist() == [[-2048, -1, 2047]]


def test_values_may_stand_in_the_upper_bits(tmp_path):
    stored = np.array([[0x1230, 0xFFF7]], np.uint16)
    samples = samples_of(tmp_path, stored, BitsStored=12, HighBit=15)
    assert samples.values.tolist() == [[0x123, 0xFFF]]


def test_padding_is_compared_before_the_rescale(tmp_path):
    # -2000 HU is tissue of no kind, but stored 24 - 2024 is not the padding value either
    stored = np.array([[-2000, -976, 24]], np.int16)
    samples = samples_of(tmp_path, stored, PixelPaddingValue=-2000, RescaleIntercept=-1024)
    assert samples.absent is not None
    assert samples.absent.tolist() == [[True, False, False]]
    assert samples.values[0, 1:].tolist() == [-2000, -1000]


def test_padding_of_unsigned_values_is_unsigned(tmp_path):
    stored = np.array([[63536, 5]], np.uint16)
    samples = samples_of(tmp_path, stored, PixelPaddingValue=63536, RescaleIntercept=-1024)
    assert samples.absent is not None
    assert samples.absent.tolist() == [[True, False]]
    assert samples.values.dtype == np.int16  # padding does not count towards the range


def test_padding_outside_the_bits_stored_is_found(tmp_path):
    stored = np.array([[63536, 5]], np.uint16)
    padding = {"PixelPaddingValue": 63536, "BitsStored": 12, "HighBit": 11}
    samples = samples_of(tmp_path, stored, **padding)
    assert samples.absent is not None
    assert samples.absent.tolist() == [[True, False]]


def test_padding_whose_sign_is_not_extended_is_found(tmp_path):
    stored = np.array([[0x0830, 5]], np.int16)  # -2000 in 12 bits
    padding = {"PixelPaddingValue": -2000, "BitsStored": 12, "HighBit": 11}
    samples = samples_of(tmp_path, stored, **padding)
    assert samples.absent is not None
    assert samples.absent.tolist() == [[True, False]]


def test_each_reading_is_an_array_of_its_own(tmp_path):
    series = series_of(tmp_path, np.zeros((2, 2), np.int16))
    first = read_stored(series, 0)
    first += 1
    assert (read_stored(series, 0) == 0).all()
