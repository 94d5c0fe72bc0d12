"""Names of the known statements of rights and licences, as their publishers list them."""

from collections.abc import Mapping

STATEMENTS: Mapping[str, str] = {
    "InC": "In Copyright",
    "InC-OW-EU": "In Copyright - EU Orphan Work",
    "InC-EDU": "In Copyright - Educational Use Permitted",
    "InC-NC": "In Copyright - Non-Commercial Use Permitted",
    "InC-RUU": "In Copyright - Rights-holder(s) Unlocatable or Unidentifiable",
    "NoC-CR": "No Copyright - Contractual Restrictions",
    "NoC-NC": "No Copyright - Non-Commercial Use Only",
    "NoC-OKLR": "No Copyright - Other Known Legal Restrictions",
    "NoC-US": "No Copyright - United States",
    "CNE": "Copyright Not Evaluated",
    "UND": "Copyright Undetermined",
    "NKC": "No Known Copyright",
}
"""Code: name, at rightsstatements.org, version 1.0."""

_LATER = ("by", "by-sa", "by-nd", "by-nc", "by-nc-sa", "by-nc-nd")
_FIRST = ("by", "by-sa", "by-nd", "by-nc", "by-nc-sa", "by-nd-nc")
_WITHOUT_BY = ("sa", "nd", "nc", "nc-sa", "nd-nc")  # given up after the first version

KINDS: Mapping[str, tuple[str, ...]] = {
    "1.0": (*_FIRST, *_WITHOUT_BY),
    "2.0": _LATER,
    "2.1": _LATER,
    "2.5": _LATER,
    "3.0": _LATER,
    "4.0": _LATER,
}
"""Version: the licences of Creative Commons that it has."""

ONLY_ADAPTED = "2.1"
"""A version that was made for single countries alone."""

_SCOPES = {"3.0": "Unported", "4.0": "International"}
_TERMS = {"by": "Attribution", "nc": "NonCommercial", "nd": "NoDerivs", "sa": "ShareAlike"}


def licence_name(kind: str, version: str) -> str:
    """ "Attribution-NoDerivs 3.0 Unported"."""
    terms = {**_TERMS, "nd": "NoDerivatives"} if version == "4.0" else _TERMS
    name = "-".join(terms[term] for term in kind.split("-"))
    return f"{name} {version} {_SCOPES.get(version, 'Generic')}"


COUNTRIES: Mapping[str, str] = {
    "ar": "Argentina",
    "at": "Austria",
    "au": "Australia",
    "az": "Azerbaijan",
    "be": "Belgium",
    "bg": "Bulgaria",
    "br": "Brazil",
    "ca": "Canada",
    "ch": "Switzerland",
    "cl": "Chile",
    "cn": "China Mainland",
    "co": "Colombia",
    "cr": "Costa Rica",
    "cz": "Czech Republic",
    "de": "Germany",
    "dk": "Denmark",
    "ec": "Ecuador",
    "ee": "Estonia",
    "eg": "Egypt",
    "es": "Spain",
    "fi": "Finland",
    "fr": "France",
    "ge": "Georgia",
    "gr": "Greece",
    "gt": "Guatemala",
    "hk": "Hong Kong",
    "hr": "Croatia",
    "hu": "Hungary",
    "ie": "Ireland",
    "igo": "IGO",
    "il": "Israel",
    "in": "India",
    "it": "Italy",
    "jp": "Japan",
    "kr": "Korea",
    "lu": "Luxembourg",
    "mk": "Macedonia",
    "mt": "Malta",
    "mx": "Mexico",
    "my": "Malaysia",
    "nl": "Netherlands",
    "no": "Norway",
    "nz": "New Zealand",
    "pe": "Peru",
    "ph": "Philippines",
    "pl": "Poland",
    "pr": "Puerto Rico",
    "pt": "Portugal",
    "ro": "Romania",
    "rs": "Serbia",
    "scotland": "UK: Scotland",
    "se": "Sweden",
    "sg": "Singapore",
    "si": "Slovenia",
    "th": "Thailand",
    "tw": "Taiwan",
    "ua": "Ukraine",
    "ug": "Uganda",
    "uk": "UK: England & Wales",
    "us": "United States",
    "ve": "Venezuela",
    "vn": "Vietnam",
    "za": "South Africa",
}
"""Countries to whose law versions before 4.0 were adapted, by their code in the licence's URI."""
