import pytest

from slidekit.errors import StoryboardError
from slidekit.evidence.counts.tables import Column, Dictionary, read_table

DICTIONARY = Dictionary(
    {
        "find": Column(),
        "hole": Column(values=("drilled", "pierced", "none")),
        "height_mm": Column(span=(80, 400)),
        "note": Column(),
    },
    id="find",
    missing=("", "?"),
)
TABLE = 'find,hole,height_mm,note\nP1,drilled,120,fine\nP2,?,?,\nP3,none,80.5,"a, b"\n'


def read(tmp_path, text: str | bytes, dictionary=DICTIONARY):
    path = tmp_path / "urns.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_table(path, dictionary)


def complaints(tmp_path, text: str | bytes, dictionary=DICTIONARY) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        read(tmp_path, text, dictionary)
    return str(raised.value).replace(f"{tmp_path}/", "").split("\n")


def test_a_row_is_a_case(tmp_path):
    first, second, third = read(tmp_path, TABLE)
    assert (first.name, first.values) == (
        "P1", {"find": "P1", "hole": "drilled", "height_mm": 120.0, "note": "fine"},
    )  # fmt: skip
    assert second.values == {"find": "P2", "hole": None, "height_mm": None, "note": None}
    assert (third.values["height_mm"], third.values["note"]) == (80.5, "a, b")


@pytest.mark.parametrize("change", [
    lambda text: text.replace(",\"a, b\"", ",a").replace(",", ";"),
    lambda text: text.replace(",\"a, b\"", ",a").replace(",", "\t"),
    lambda text: "\ufeff" + text.replace("\n", "\r\n"),
    lambda text: text.replace("\nP2", "\n,,,\n\nP2"),
    lambda text: text.replace("drilled", " drilled "),
])  # fmt: skip
def test_tables_of_other_programs_read_alike(tmp_path, change):
    names = [(case.name, case.values["hole"]) for case in read(tmp_path, change(TABLE))]
    assert names == [("P1", "drilled"), ("P2", None), ("P3", "none")]


def test_columns_outside_the_dictionary_are_not_read(tmp_path):
    text = TABLE.replace("\n", ",name\n", 1).replace("fine\n", "fine,X\n")
    text = text.replace("?,\n", "?,,Y\n").replace('b"\n', 'b",Z\n')
    assert [set(case.values) for case in read(tmp_path, text)] == [set(DICTIONARY.columns)] * 3


def test_every_fault_is_told_at_once_with_its_line(tmp_path):
    text = (
        "find,hole,height_mm,note\n"
        "P1,Driled,120,\n"
        'P1,none,"1,5",\n'
        ",none,500,\n"
        "P4,whole,12 mm,\n"
        "P5,none,90\n"
    )
    assert complaints(tmp_path, text) == [
        "urns.csv:2: hole: `Driled` is not in the dictionary. Write `drilled` if you mean that; "
        "the values are drilled, pierced, none.",
        "urns.csv:3: find: the case `P1` is on line 2 already. Remove one of the two, or rename "
        "it.",
        "urns.csv:3: height_mm: `1,5` is not a number. Write it as 1.5.",
        "urns.csv:4: find: the case has no name. Give it one.",
        "urns.csv:4: height_mm: 500 is not from 80 to 400. Mend it, or widen the dictionary.",
        "urns.csv:5: hole: `whole` is not in the dictionary. Write one of drilled, pierced, "
        "none, or add it to the dictionary.",
        "urns.csv:5: height_mm: `12 mm` is not a number. Write a number alone.",
        "urns.csv:6: table: the row has 3 cells, and the first row 4. Put quotes around cells with "
        "commas in them, or add what is left out.",
    ]


def test_a_cell_over_two_lines_does_not_shift_the_lines_of_faults(tmp_path):
    text = 'find,hole,height_mm,note\nP1,none,90,"two\nlines"\nP2,no,90,\n'
    assert complaints(tmp_path, text)[0].startswith("urns.csv:4: hole: `no` is not in")


def test_columns_that_are_not_there_are_told(tmp_path):
    assert complaints(tmp_path, "find,Hole,note,note\nP1,none,a,b\n") == [
        "urns.csv:1: hole: the table has no such column. Rename `Hole` if it is that, or mend the "
        "dictionary: the first row has find, Hole, note, note.",
        "urns.csv:1: height_mm: the table has no such column. Add it, or mend the dictionary: the "
        "first row has find, Hole, note, note.",
        "urns.csv:1: note: there are 2 columns of this name. Rename all but one.",
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "1: table: the file is empty. Write the names of its columns in the first row, and "
             "one case in each row below."),
        ("find,hole,height_mm,note\n", "1: table: there is no case in the table. Add a row."),
        (b"find,hole,height_mm,note\nP1,none,90,\xe4\n",
         "2: table: the file is not encoded as UTF-8. Save it as CSV in UTF-8."),
    ],
)  # fmt: skip
def test_a_file_that_is_no_table_is_told(tmp_path, text, message):
    assert complaints(tmp_path, text) == [f"urns.csv:{message}"]


def test_a_table_that_is_not_there_is_told(tmp_path):
    with pytest.raises(StoryboardError) as raised:
        read_table(tmp_path / "urns.csv", DICTIONARY)
    assert str(raised.value) == (
        f"{tmp_path}/urns.csv:1: table: the table cannot be read: there is no such file. "
        "Write its path under `file`, seen from the storyboard."
    )


def test_an_empty_cell_is_a_fault_where_it_has_no_meaning(tmp_path):
    dictionary = Dictionary(DICTIONARY.columns, "find", missing=("?",))
    assert complaints(tmp_path, "find,hole,height_mm,note\nP1,,,x\n", dictionary) == [
        f"urns.csv:2: {column}: the cell is empty. Fill it in, or write `?` if it is not known."
        for column in ("hole", "height_mm")
    ]
