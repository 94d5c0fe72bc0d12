"""The letters of the patient's sides as a language writes them."""

from slidekit.wording.catalogue import phrase


def sides(letters: str) -> str:
    """The letters of an edge in the language of the run. "RA": rather right than anterior; right,
    left, anterior, posterior, head and foot are those of DICOM PS3.3 C.7.6.1.1.1."""
    written = phrase("R L A P H F")  # one letter each, in this order
    table = str.maketrans(dict(zip("RLAPHF", written.split(), strict=True)))
    return letters.translate(table)
