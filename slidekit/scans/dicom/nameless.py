"""Images written without anything that could name a person, for the cache.

A whitelist, as everywhere: the attributes that slidekit reads, the description of pixels and
windows, and the functional groups of frames, of which only numbers, codes and UIDs are kept.
PS3.15 Annex E lists what would identify a person; none of it has these value representations
outside the attributes named in `tags`.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from slidekit.scans.dicom import tags

if TYPE_CHECKING:
    from pydicom import Dataset

_NUMBERS = frozenset(
    {"AT", "DS", "FD", "FL", "IS", "OB", "OD", "OF", "OL", "OW", "SL", "SS", "UL", "US", "OB or OW",
     "US or SS", "US or SS or OW", "US or OW"}
)  # fmt: skip
_CODES = frozenset({"CS", "UI"})
_PIXEL_GROUP = 0x0028
_FRAME_GROUPS = (tags.SHARED_GROUPS, tags.PER_FRAME_GROUPS)


def write_nameless(image: "Dataset", path: Path) -> None:
    """Write an image with its pixels as they are coded, and without names, texts and dates.

    Raises
    ------
    OSError
        If the file cannot be written.
    ValueError
        If the image does not say how its pixels are coded.
    """
    import pydicom  # noqa: PLC0415 - heavy, and needed only while a series is fetched

    syntax = image.file_meta.TransferSyntaxUID
    kept = nameless(image)
    kept.file_meta = pydicom.dataset.FileMetaDataset()
    kept.file_meta.TransferSyntaxUID = syntax
    kept.file_meta.MediaStorageSOPClassUID = image.SOPClassUID
    kept.file_meta.MediaStorageSOPInstanceUID = image.SOPInstanceUID
    kept.save_as(path, enforce_file_format=True)


def nameless(image: "Dataset") -> "Dataset":
    """The kept attributes of an image, as a dataset of its own."""
    import pydicom  # noqa: PLC0415 - see `write_nameless`

    kept = pydicom.Dataset()
    for element in image:
        tag = int(element.tag)
        if tag in _FRAME_GROUPS or (element.VR == "SQ" and element.tag.group == _PIXEL_GROUP):
            kept[tag] = pydicom.DataElement(
                tag, "SQ", pydicom.Sequence(_numbers(item) for item in element.value)
            )
        elif (
            tag in tags.VALUE_TAGS - tags.FREE_TEXTS
            or tag == tags.PIXEL_DATA
            or (element.tag.group == _PIXEL_GROUP and element.VR in _NUMBERS | _CODES)
        ):
            kept[tag] = element
    return kept


def _numbers(item: "Dataset") -> "Dataset":
    """The numbers, codes and UIDs of an item of a sequence, and of those below it."""
    import pydicom  # noqa: PLC0415 - see `write_nameless`

    kept = pydicom.Dataset()
    for element in item:
        if element.tag.is_private:
            continue
        if element.VR == "SQ":
            below = pydicom.Sequence(_numbers(inner) for inner in element.value)
            kept[element.tag] = pydicom.DataElement(element.tag, "SQ", below)
        elif element.VR in _NUMBERS | _CODES:
            kept[element.tag] = element
    return kept
