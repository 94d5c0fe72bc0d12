"""Names of licences against the list of SPDX, as the `packaging` library has it."""

import pytest
from packaging.licenses import canonicalize_license_expression
from packaging.licenses._spdx import LICENSES

from slidekit.evidence.sources.licence_names import COUNTRIES, KINDS, ONLY_ADAPTED
from slidekit.evidence.sources.rights import read_rights

WITHOUT_LICENCE = {"cc-pddc"}  # a dedication that its publisher has withdrawn
OF_SPDX = [
    one["id"]
    for key, one in LICENSES.items()
    if key.startswith(("cc-", "cc0-")) and key not in WITHOUT_LICENCE
]


def test_the_list_has_the_licences_of_all_versions():
    assert len(OF_SPDX) > 50


@pytest.mark.parametrize("identifier", OF_SPDX)
def test_every_identifier_of_spdx_is_understood(identifier: str):
    rights = read_rights(identifier)
    assert rights.uri.startswith("https://creativecommons.org/")
    # its terms, version and country stand in the URI as they do in the identifier
    words = set(identifier.lower().split("-")) - {"cc", "cc0", "pdm"}
    assert words <= set(rights.uri.lower().replace("-", "/").split("/"))


@pytest.mark.parametrize("version", [one for one in KINDS if one != ONLY_ADAPTED])
def test_every_licence_is_one_of_spdx(version: str):
    known = {identifier.replace("NC-ND-1.0", "ND-NC-1.0") for identifier in OF_SPDX}
    with_by = [kind for kind in KINDS[version] if kind.startswith("by")]
    assert {f"CC-{kind.upper()}-{version}" for kind in with_by} <= known
    assert canonicalize_license_expression(f"CC-BY-{version}") == f"CC-BY-{version}"


def test_the_countries_of_spdx_are_known():
    ends = {identifier.rsplit("-", 1)[1].lower() for identifier in OF_SPDX}
    assert {end for end in ends if end.isalpha()} <= set(COUNTRIES)
