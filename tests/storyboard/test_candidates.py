import pytest

from slidekit.errors import StoryboardError
from slidekit.shipped import candidates_file
from slidekit.storyboard.candidates import read_candidates
from slidekit.wording import speak_in

TAR = """\
materials:
  tar:
    called: birch tar
    formula: C30H50O2
    composition_source: betulin
    density_g_cm3: [1.02, 1.10]
    density_source: a handbook
    packing: [0.8, 1]
    packing_source: bubbles
"""


def read(folder, text: str):
    path = folder / "mine.yaml"
    path.write_text(text, encoding="utf-8")
    return read_candidates(path)


def faults(folder, text: str) -> list[str]:
    with pytest.raises(StoryboardError) as refused:
        read(folder, text)
    return [str(fault).replace(f"{folder}/", "") for fault in refused.value.faults]


def test_an_entry_becomes_a_candidate(tmp_path):
    tar = read(tmp_path, TAR)["tar"].candidate("tar")
    assert tar.composition.shares == {"C": 30, "H": 50, "O": 2}
    assert (tar.density_g_cm3, tar.packing, tar.pores) == ((1.02, 1.10), (0.8, 1.0), "air")


def test_one_number_is_a_range_of_its_own(tmp_path):
    text = TAR.replace("[1.02, 1.10]", "1.05")
    assert read(tmp_path, text)["tar"].density_g_cm3 == (1.05, 1.05)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("    density_source: a handbook\n", "",
         "2: materials.tar.density_source: is missing. Write words."),
        ("formula: C30H50O2", "formula: Tar",
         "2: materials.tar: `Tar` is no formula: `r` cannot be read. Write atoms and their"
         " numbers: CaSO4·2H2O."),
        ("formula: C30H50O2", "mass_fractions: {C: 0.8, Q: 0.2}",
         "2: materials.tar: `Q` is no element. Write symbols from H to U."),
        ("    formula: C30H50O2\n", "",
         "2: materials.tar: needs a composition. Write `formula` or `mass_fractions`, one of"
         " them."),
        ("[1.02, 1.10]", "[1.10, 1.02]",
         "2: materials.tar: `density_g_cm3` begins with the greater number. Exchange the two."),
        ("[1.02, 1.10]", "dense",
         "6: materials.tar.density_g_cm3: `dense` cannot stand here. Write one number above 0, or"
         " two, as in [0.95, 0.97]."),
        ("    packing_source: bubbles\n", "",
         "2: materials.tar: `packing_source` is missing. Say who says how it packs."),
        ("density_source", "density_sorce",
         "7: materials.tar.density_sorce: is not a field here. Write `density_source` if you mean"
         " that; it has called, formula, mass_fractions, composition_source, density_g_cm3,"
         " density_source, packing, packing_source and 1 more."),
        ("[0.8, 1]", "[0.8, 2]",
         "8: materials.tar.packing: `2` cannot stand here. Write one number above 0 and up to 1, or"
         " two, as in [0.6, 1]."),
        ("[0.8, 1]", "[0.8]",
         "8: materials.tar.packing: what it has cannot stand here. Write one number above 0 and up"
         " to 1, or two, as in [0.6, 1]."),
        ("  tar:", "  Tar 1:",
         "2: materials.Tar 1: `Tar 1` is not a name. Use small letters, digits and _, and begin"
         " with a letter."),
        ("materials:", "stuff:",
         "1: storyboard: there are no materials in the file. Begin it with `materials:`, and name"
         " each material below."),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_line_and_what_to_write(tmp_path, old, new, said):
    assert f"mine.yaml:{said}" in faults(tmp_path, TAR.replace(old, new, 1))


def test_a_file_that_is_no_text_is_refused(tmp_path):
    (tmp_path / "mine.yaml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(StoryboardError, match="cannot be read"):
        read_candidates(tmp_path / "mine.yaml")


def test_every_shipped_candidate_has_its_sources():
    entries = read_candidates(candidates_file())
    assert len(entries) > 40
    for name, entry in entries.items():
        assert entry.density_source, name
        assert entry.composition_source, name


@pytest.mark.parametrize("language", ["en", "de", "fr"])
def test_no_two_shipped_candidates_are_called_alike(language):
    names = [entry.called[language] for entry in read_candidates(candidates_file()).values()]
    assert len(names) == len(set(names))


def test_a_candidate_has_a_name_for_each_language_or_one_for_all():
    entry = read_candidates(candidates_file())["birch_tar"]
    assert entry.candidate("birch_tar").called == "birch tar"
    speak_in("de-AT")
    assert entry.candidate("birch_tar").called == "Birkenpech"
    speak_in("ja")
    assert entry.candidate("birch_tar").called == "birch tar"
