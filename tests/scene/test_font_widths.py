"""Widths of letters read from the tables of a font, against a library that reads all of them."""

import struct

import pytest
from fontTools.ttLib import TTFont

from slidekit.scene.font_widths import read_advances_em
from slidekit.scene.fonts import FONT_FILES


@pytest.mark.parametrize("face", FONT_FILES)
def test_another_reader_finds_the_same_letters_and_widths(face):
    font = TTFont(FONT_FILES[face])
    em, metrics = font["head"].unitsPerEm, font["hmtx"].metrics
    expected = {code: metrics[name][0] / em for code, name in font.getBestCmap().items()}
    assert read_advances_em(FONT_FILES[face]) == expected


def test_a_font_whose_map_is_of_another_kind_is_refused(tmp_path):
    data = bytearray(FONT_FILES["Regular"].read_bytes())
    (tables,) = struct.unpack_from(">H", data, 4)
    entries = (struct.unpack_from(">4s4xI4x", data, 12 + 16 * i) for i in range(tables))
    cmap = dict(entries)[b"cmap"]
    for i in range(2):  # both maps of the font are one
        (start,) = struct.unpack_from(">I", data, cmap + 8 + 8 * i)
        struct.pack_into(">H", data, cmap + start, 2)
    path = tmp_path / "font.ttf"
    path.write_bytes(data)
    with pytest.raises(ValueError, match=r"^the character map has format 2, not 4$"):
        read_advances_em(path)
