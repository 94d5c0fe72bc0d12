"""The only DICOM attributes that slidekit ever takes from a file.

A whitelist: what is not named here is skipped over unread, so that no name, date, institution or
comment can reach an output (PS3.15 Annex E lists what would identify a person). The series
description and the explanations of windows are the only free texts; they serve to choose a series
or a window on the console and go no further.
"""

MEDIA_SOP_CLASS = 0x0002_0002
TRANSFER_SYNTAX = 0x0002_0010
CHARACTER_SET = 0x0008_0005
IMAGE_TYPE = 0x0008_0008
SOP_CLASS = 0x0008_0016
SOP_INSTANCE = 0x0008_0018
MODALITY = 0x0008_0060
SERIES_DESCRIPTION = 0x0008_103E
ANATOMICAL_ORIENTATION_TYPE = 0x0010_2210  # BIPED or QUADRUPED
SLICE_THICKNESS = 0x0018_0050
KVP = 0x0018_0060
ECHO_NUMBERS = 0x0018_0086
TRIGGER_TIME = 0x0018_1060
CONVOLUTION_KERNEL = 0x0018_1210
DIFFUSION_B_VALUE = 0x0018_9087
SERIES_INSTANCE = 0x0020_000E
SERIES_NUMBER = 0x0020_0011
ACQUISITION_NUMBER = 0x0020_0012
IMAGE_POSITION = 0x0020_0032
IMAGE_ORIENTATION = 0x0020_0037
FRAME_OF_REFERENCE = 0x0020_0052
TEMPORAL_POSITION = 0x0020_0100
SAMPLES_PER_PIXEL = 0x0028_0002
PHOTOMETRIC = 0x0028_0004
NUMBER_OF_FRAMES = 0x0028_0008
ROWS = 0x0028_0010
COLUMNS = 0x0028_0011
PIXEL_SPACING = 0x0028_0030
BITS_ALLOCATED = 0x0028_0100
BITS_STORED = 0x0028_0101
HIGH_BIT = 0x0028_0102
PIXEL_REPRESENTATION = 0x0028_0103
PIXEL_PADDING = 0x0028_0120
PIXEL_PADDING_LIMIT = 0x0028_0121
BURNED_IN_ANNOTATION = 0x0028_0301
WINDOW_CENTER = 0x0028_1050
WINDOW_WIDTH = 0x0028_1051
RESCALE_INTERCEPT = 0x0028_1052
RESCALE_SLOPE = 0x0028_1053
RESCALE_TYPE = 0x0028_1054
WINDOW_EXPLANATION = 0x0028_1055
VOI_LUT_FUNCTION = 0x0028_1056
LOSSY_COMPRESSION = 0x0028_2110
MODALITY_LUT_TYPE = 0x0028_3004  # stands in an item of MODALITY_LUT
UNITS = 0x0054_1001  # of the values of PET

TEXT_TAGS = frozenset(
    {
        TRANSFER_SYNTAX,
        CHARACTER_SET,
        IMAGE_TYPE,
        SOP_CLASS,
        SOP_INSTANCE,
        MODALITY,
        SERIES_DESCRIPTION,
        ANATOMICAL_ORIENTATION_TYPE,
        SLICE_THICKNESS,
        KVP,
        ECHO_NUMBERS,
        TRIGGER_TIME,
        CONVOLUTION_KERNEL,
        SERIES_INSTANCE,
        SERIES_NUMBER,
        ACQUISITION_NUMBER,
        IMAGE_POSITION,
        IMAGE_ORIENTATION,
        FRAME_OF_REFERENCE,
        TEMPORAL_POSITION,
        PHOTOMETRIC,
        NUMBER_OF_FRAMES,
        PIXEL_SPACING,
        BURNED_IN_ANNOTATION,
        WINDOW_CENTER,
        WINDOW_WIDTH,
        RESCALE_INTERCEPT,
        RESCALE_SLOPE,
        RESCALE_TYPE,
        UNITS,
        WINDOW_EXPLANATION,
        VOI_LUT_FUNCTION,
        LOSSY_COMPRESSION,
    }
)
"""Attributes stored as text, numbers among them (CS, DS, IS, LO, SH, UI; PS3.5 6.2)."""

SHORT_TAGS = frozenset(
    {
        SAMPLES_PER_PIXEL,
        ROWS,
        COLUMNS,
        BITS_ALLOCATED,
        BITS_STORED,
        HIGH_BIT,
        PIXEL_REPRESENTATION,
        PIXEL_PADDING,
        PIXEL_PADDING_LIMIT,
    }
)
"""Attributes stored as 16-bit integers (US, or SS by Pixel Representation)."""

DOUBLE_TAGS = frozenset({DIFFUSION_B_VALUE})
"""Attributes stored as 64-bit floats (FD)."""

STRICT_TAGS = frozenset(
    {IMAGE_POSITION, IMAGE_ORIENTATION, PIXEL_SPACING, RESCALE_SLOPE, RESCALE_INTERCEPT}
)
"""Numbers without which a picture would be wrong: a malformed one refuses the image."""

VALUE_TAGS = TEXT_TAGS | SHORT_TAGS | DOUBLE_TAGS

FREE_TEXTS = frozenset({SERIES_DESCRIPTION, WINDOW_EXPLANATION})
"""Texts in the character set of the file."""

MODALITY_LUT = 0x0028_3000
VOI_LUT = 0x0028_3010
SHARED_GROUPS = 0x5200_9229
PER_FRAME_GROUPS = 0x5200_9230
PIXEL_DATA = 0x7FE0_0010
PRESENCE_TAGS = frozenset({MODALITY_LUT, VOI_LUT, SHARED_GROUPS, PER_FRAME_GROUPS})
"""Sequences of which only the presence is noted."""

OVERLAY_TAGS = frozenset(
    group << 16 | element for group in range(0x6000, 0x6020, 2) for element in (0x0102, 0x3000)
)
"""Bit position and data of an overlay, in the repeating groups 6000 to 601E (PS3.3 C.9.2)."""


def tag_text(tag: int) -> str:
    """A tag as the standard writes it: (0020,0032)."""
    return f"({tag >> 16:04X},{tag & 0xFFFF:04X})"
