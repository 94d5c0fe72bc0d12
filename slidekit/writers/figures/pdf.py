"""What matplotlib leaves out of a PDF's catalogue: the language, and that viewers shall show the
title. Appended as an incremental update, ISO 32000-1 7.5.6.
"""

import hashlib
import re

from slidekit.errors import WriteError

_CATALOGUE = re.compile(rb"(\d+) 0 obj\s*<<\s*(/Type /Catalog[^<>]*)>>\s*endobj")
_TRAILER = re.compile(rb"trailer\s*<<\s*/Size (\d+)([^<>]*)>>\s*startxref\s*(\d+)\s*%%EOF\s*$")


def with_catalogue(pdf: bytes, language: str) -> bytes:
    """The document with /Lang (14.9.2), DisplayDocTitle (12.2) and a file identifier (14.4)."""
    catalogue, trailer = _CATALOGUE.search(pdf), _TRAILER.search(pdf)
    if catalogue is None or trailer is None:
        raise WriteError(
            "the installed matplotlib writes a PDF that cannot be completed",
            "Install a version of matplotlib that slidekit was made for (pyproject.toml)",
        )
    number, entries = catalogue.groups()
    size, references, previous = trailer.groups()
    body = pdf if pdf.endswith(b"\n") else pdf + b"\n"
    added = (
        b"%b 0 obj\n<< %b /Lang (%b) /ViewerPreferences << /DisplayDocTitle true >> >>\nendobj\n"
        % (number, entries.strip(), language.encode("ascii"))
    )
    identifier = hashlib.sha256(body + added).hexdigest()[:32].encode()
    return b"".join(
        [
            body,
            added,
            b"xref\n%b 1\n%010d 00000 n \n" % (number, len(body)),
            b"trailer\n<< /Size %b %b /Prev %b /ID [<%b> <%b>] >>\n"
            % (size, references.strip(), previous, identifier, identifier),
            b"startxref\n%d\n%%%%EOF\n" % (len(body) + len(added)),
        ]
    )
