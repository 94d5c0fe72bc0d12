"""The unit of the values of a series, in words; never HU for what is not."""

from slidekit.scans.dicom import tags
from slidekit.scans.dicom.header import Header
from slidekit.scans.dicom.screening import is_capture, is_localizer

_RESCALE_TYPES = {  # PS3.3 C.11.1.1.2; US is unspecified
    "HU": "HU",
    "OD": "OD",
    "MGML": "mg/ml",
    "Z_EFF": "Z eff",
    "ED": "10²³ electrons/ml",
    "EDW": "electron density (water 1)",
    "HU_MOD": "modified HU",
    "PCT": "%",
}

_UNITS = {  # PS3.3 C.8.9.1.1.3, of PET
    "CNTS": "counts",
    "CM2": "cm²",
    "CM2ML": "cm²/ml",
    "PCNT": "%",
    "CPS": "counts/s",
    "BQML": "Bq/ml",
    "MGMINML": "mg/min/ml",
    "UMOLMINML": "µmol/min/ml",
    "MLMING": "ml/min/g",
    "MLG": "ml/g",
    "1CM": "1/cm",
    "UMOLML": "µmol/ml",
    "MLMINML": "ml/min/ml",
    "MLML": "ml/ml",
    "GML": "g/ml",
}


def unit_of_values(header: Header) -> str:
    """The unit of an image's values; "" when it has none or none that the standard knows.

    A Rescale Type or the type of a value table says it, for PET its Units. CT values without
    either are HU (PS3.3 C.8.2.1), but those of localizers are not. Other texts that stand there
    are a vendor's own and are not repeated: nobody knows what they hold.
    """
    if is_capture(header):  # levels of a screen, whatever machine they came from
        return ""
    table = tags.MODALITY_LUT in header.elements
    written = header.text(tags.MODALITY_LUT_TYPE if table else tags.RESCALE_TYPE)
    if header.text(tags.MODALITY) == "PT" and not table:
        return _UNITS.get(header.text(tags.UNITS), "")
    if written or table:
        return _RESCALE_TYPES.get(written, "")
    return "HU" if header.text(tags.MODALITY) == "CT" and not is_localizer(header) else ""
