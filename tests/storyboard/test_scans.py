import pytest

from slidekit.storyboard.scans import Scan
from tests.storyboard.boards import BOARD, complaints, spoiled


def scan(**fields: str) -> Scan:
    return Scan.model_validate(
        {"folder": "ct", "credit": "Town museum", "rights": "CC BY 4.0", **fields}
    )


def test_rights_are_a_known_statement_or_words():
    assert scan().statement.uri == "https://creativecommons.org/licenses/by/4.0/"
    assert scan(rights="As agreed").statement.full == "As agreed"


CREDIT, RIGHTS = "    credit: Scan by the town museum, 2025\n", "    rights: CC BY 4.0\n"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            CREDIT,
            "",
            "6: scans.urn.credit: is missing. Add it, as in"
            " `credit: Scan by the town museum, 2025`.",
        ),
        (RIGHTS, "", "6: scans.urn.rights: is missing. Add it, as in `rights: CC BY 4.0`."),
        (
            RIGHTS,
            "    rights: CC BY 4.1\n",
            "9: scans.urn.rights: there is no statement of rights 'CC BY 4.1'. Write CC BY 4.0 if"
            " you mean that.",
        ),
        (
            RIGHTS,
            f"{RIGHTS}    permission_note: by letter\n",
            "6: scans.urn: has `permission_note` without `permission`. Write `permission:"
            " granted`, `asked` or `not needed` too.",
        ),
        (
            RIGHTS,
            f"{RIGHTS}    permission: yes\n",
            "10: scans.urn.permission: `yes` is not allowed",
        ),
    ],
)
def test_credit_rights_and_permission_are_asked_for_in_plain_words(tmp_path, old, new, message):
    (found,) = complaints(tmp_path, spoiled(old, new, BOARD))
    assert found.startswith(f"talk.yaml:{message}")
