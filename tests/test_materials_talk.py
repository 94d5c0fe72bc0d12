"""Materials questions and contrasts in whole runs: asked, drawn, said, recorded and refused."""

import json

import pydicom
import pytest

from slidekit.build import Options, build_talk
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from tests.materials_talk import CANARY, HEADER, MATERIALS_TALK, write_materials_talk
from tests.scans.dicom_series import Attributes
from tests.storyboard.boards import spoiled
from tests.talks import no_progress
from tests.test_weight import loaded_by


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("materials")
    show, _ = build_talk(write_materials_talk(folder), folder / "out", Options(), no_progress)
    return show, folder / "out"


@pytest.fixture(scope="module")
def record(built):
    return json.loads((built[1] / "record.json").read_text(encoding="utf-8"))


def refusals(folder, text: str = MATERIALS_TALK, header: Attributes = HEADER) -> list[str]:
    """What a build that must fail says, without the folder."""
    storyboard = write_materials_talk(folder, text, header)
    with pytest.raises(StoryboardError) as refused:
        build_talk(storyboard, folder / "out", Options(draft=True), no_progress)
    return [str(fault).replace(f"{folder}/", "") for fault in refused.value.faults]


def texts_on(page) -> list[str]:
    return [
        one.plain
        for item in page.items
        for one in getattr(item, "items", (item,))
        if hasattr(one, "plain")
    ]


def test_words_say_what_was_found(built):
    script = (built[1] / "script.md").read_text(encoding="utf-8").replace("\N{NO-BREAK SPACE}", " ")
    said = " ".join(script.split())
    assert (
        "The CT numbers exclude beeswax and quartz or flint; pine resin remains possible." in said
    )
    assert "Possible is pine resin, and not beeswax and quartz or flint." in said
    assert "That is at 70 keV." in said
    assert "differ by 81 HU, 79 to 82 HU, which is 9.9 standard deviations;" in said
    assert "less than 1 % of their values overlap" in said


def test_titles_print_what_is_said(built):
    assert built[0].pages[0].title == "They differ by 81 HU"


def test_the_caution_stands_on_the_slide(built):
    page = built[0].pages[1]
    texts = texts_on(page)
    assert any(text.startswith("CT numbers alone do not name a substance:") for text in texts)
    assert any("effective energy 70 keV (57 to 75), from 120 kV" in text for text in texts)


def test_the_slide_credits_the_scan(built):
    page = built[0].pages[1]
    footer = next(item for item in page.items if getattr(item, "name", "") == "Footer")
    assert footer.plain.startswith("Made for a test")


def test_the_record_holds_every_band_and_verdict(record):
    question = record["materials"]["seal_is"]
    assert question["tube_voltage_kv"] == 120
    assert question["energy_range_kev"] == [57, 75]
    verdicts = {one["name"]: one["possible"] for one in question["candidates"]}
    assert verdicts == {"pine_resin": True, "beeswax": False, "quartz": False}
    for one in question["candidates"]:
        assert one["band_hu"][0] < one["calculated_hu"][0] < one["calculated_hu"][1]
    assert question["mix"] == ["beeswax", "pine_resin"]
    assert question["fitting_percent"][0] == 0


def test_the_record_holds_the_contrast_with_its_independent_samples(record):
    contrast = record["contrasts"]["both"]
    assert contrast["regions"] == ["left", "right"]  # the greater mean first
    assert contrast["difference"] == pytest.approx(80, abs=2)
    low, high = contrast["interval_95"]
    assert low < contrast["difference"] < high
    assert all(50 < n <= 216 for n in contrast["independent"])


def test_the_candidates_are_among_the_inputs(built, record):
    assert len(record["inputs_sha256"]) == 3  # storyboard, style, candidates


def test_nothing_of_the_header_but_the_voltage_reaches_an_output(built):
    for file in built[1].iterdir():
        content = file.read_bytes()
        assert CANARY.encode() not in content
        assert CANARY.encode("utf-16-le") not in content


def test_two_runs_give_the_same_bytes(built, tmp_path):
    build_talk(write_materials_talk(tmp_path), tmp_path / "out", Options(), no_progress)
    for file in built[1].iterdir():
        assert file.read_bytes() == (tmp_path / "out" / file.name).read_bytes()


def test_a_panel_plots_a_contrast_and_prints_what_remains(tmp_path):
    files = build_panels(write_materials_talk(tmp_path), tmp_path / "out", None, no_progress).files
    record = json.loads(files[-1].read_text(encoding="utf-8"))
    assert record["materials"]["seal_is"]["region"] == "left"
    assert record["contrasts"]["both"]["unit"] == "HU"


def test_a_slide_alone_answers_its_question(tmp_path):
    options = Options(only=("question",), draft=True)
    show, _ = build_talk(write_materials_talk(tmp_path), tmp_path / "out", options, no_progress)
    assert list(show.sights.questions) == ["seal_is"]
    assert show.sights.contrasts == {}


def test_a_file_of_ones_own_adds_and_replaces_candidates(tmp_path):
    (tmp_path / "mine.yaml").write_text(
        "materials:\n"
        "  beeswax: {called: my wax, formula: C2H4, composition_source: mine,"
        " density_g_cm3: 1.09, density_source: mine}\n"
        "  putty: {called: putty, formula: CaCO3, composition_source: mine,"
        " density_g_cm3: [1.5, 1.6], density_source: mine}\n",
        encoding="utf-8",
    )
    text = spoiled(
        "    candidates: [pine_resin, beeswax, quartz]\n",
        "    candidates: [pine_resin, beeswax, putty]\n    file: mine.yaml\n",
        MATERIALS_TALK,
    )
    storyboard = write_materials_talk(tmp_path, text)
    show, _ = build_talk(storyboard, tmp_path / "out", Options(draft=True), no_progress)
    answer = show.sights.questions["seal_is"]
    assert answer.remaining == ("pine resin", "my wax")
    assert answer.excluded == ("putty",)


def test_an_energy_of_ones_own_takes_the_place_of_the_rule(tmp_path):
    text = spoiled("    region: left\n", "    region: left\n    energy_kev: 64\n", MATERIALS_TALK)
    storyboard = write_materials_talk(tmp_path, text, Attributes())  # the files need not say
    show, _ = build_talk(storyboard, tmp_path / "out", Options(draft=True), no_progress)
    assert show.sights.questions["seal_is"].energy_in_words == "64 keV (59 to 69), as stated"


ENERGY = "Add `energy_kev` to the question: the effective energy of the beam."


def test_a_scan_without_a_tube_voltage_needs_an_energy(tmp_path):
    assert refusals(tmp_path, header=Attributes()) == [
        "talk.yaml:20: materials.seal_is: the files of the scan `block` do not say the tube"
        f" voltage. {ENERGY}"
    ]


def test_a_tube_voltage_beyond_the_rule_needs_an_energy(tmp_path):
    assert refusals(tmp_path, header=Attributes(every={"KVP": "225"})) == [
        "talk.yaml:20: materials.seal_is: the scan `block` was made with 225 kV, and the rule for"
        f" the effective energy holds from 70 to 150 kV. {ENERGY}"
    ]


def test_values_that_are_not_in_hu_answer_no_question(tmp_path):
    header = Attributes(every={"Modality": "MR", "RescaleType": "US", "KVP": "120"})
    assert refusals(tmp_path, header=header) == [
        "talk.yaml:20: materials.seal_is: the values in `left` are not in HU, and only CT numbers"
        " tell of attenuation. Ask about a region of a CT scan in HU."
    ]


@pytest.mark.parametrize(
    ("region", "at"), [("left", "20: materials.seal_is"), ("right", "26: contrasts.both")]
)
def test_a_region_of_few_samples_answers_nothing(tmp_path, region, at):
    before, region_on = MATERIALS_TALK.split(f"  {region}:\n", 1)
    text = f"{before}  {region}:\n" + region_on.replace("size_mm: [12, 18]", "size_mm: [2, 3]", 1)
    few = "holds 6 samples, and a distribution takes 9. Draw the region larger."
    assert refusals(tmp_path, text) == [f"talk.yaml:{at}: `{region}` {few}"]


def test_regions_that_overlap_are_not_held_against_each_other(tmp_path):
    text = spoiled("    center_mm: [24.5, 12]\n", "    center_mm: [18.5, 12]\n", MATERIALS_TALK)
    assert refusals(tmp_path, text) == [
        "talk.yaml:26: contrasts.both: `left` and `right` overlap, and what lies in both is no"
        " difference. Draw them apart."
    ]


def test_metal_at_the_end_of_the_scale_may_be_any_metal(tmp_path):
    text = spoiled("[pine_resin, beeswax, quartz]", "[bronze, gold, beeswax]", MATERIALS_TALK)
    text = spoiled("    mix: [beeswax, pine_resin]\n", "", text)
    text = spoiled("{seal_is.share} of wax\n      would fit. That", "That", text)
    storyboard = write_materials_talk(tmp_path, text)
    for path in sorted((tmp_path / "block").iterdir()):
        image = pydicom.dcmread(path)
        pixels = image.pixel_array.copy()
        pixels[:, :16] = 3071
        image.PixelData = pixels.tobytes()
        image.save_as(path)
    show, _ = build_talk(storyboard, tmp_path / "out", Options(draft=True), no_progress)
    answer = show.sights.questions["seal_is"]
    assert answer.remaining == ("bronze", "gold")
    page = next(page for page in show.pages if page.id == "question")
    texts = texts_on(page)
    assert any("hold values at the end of the scale" in text for text in texts)
    assert "3,071 or more" in texts


def test_a_question_asked_before_is_answered_without_the_tables(tmp_path):
    storyboard = write_materials_talk(tmp_path)
    loaded_by("build", storyboard, "--out", tmp_path / "out")
    assert "xraydb" not in loaded_by("build", storyboard, "--out", tmp_path / "out")
