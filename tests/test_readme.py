"""What the README says is held against the program: its example, its commands, its tables."""

import re
import tomllib
from pathlib import Path
from typing import get_args

import pytest
import yaml
from pydantic import BaseModel
from typer.main import get_command

from slidekit.build import Options, build_talk
from slidekit.checks.rules.register import RULES
from slidekit.cli import app
from slidekit.evidence.dates.parse import parse_date
from slidekit.panels import build_panels
from slidekit.review import check_talk
from slidekit.scans.demo import load_generator
from slidekit.scene.dated import calendar_of
from slidekit.scene.style import load_style
from slidekit.shipped import demo_folder
from slidekit.storyboard import (
    account,
    chronology,
    findings,
    glossary,
    materials,
    measured,
    model,
    panels,
    regions,
    scans,
    slides,
    tables,
    talk,
    views,
    waivers,
    works,
)
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.tallies import count_up
from tests.talks import no_progress

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
YAML = re.findall(r"^```yaml\n(.*?)^```", README, re.DOTALL | re.MULTILINE)

SLIDES = {
    "title": slides.TitleSlide,
    "text": slides.TextSlide,
    "quote": slides.QuoteSlide,
    "scan": slides.ScanSlide,
    "timeline": slides.TimelineSlide,
    "series": slides.SeriesSlide,
    "materials": slides.MaterialsSlide,
    "findings": slides.FindingsSlide,
    "glossary": slides.GlossarySlide,
    "compare": slides.CompareSlide,
    "notice": slides.NoticeSlide,
    "credits": slides.CreditsSlide,
    "borrowed": slides.BorrowedSlide,
}
SHAPES = {
    "ellipse": regions.EllipseRegion,
    "rectangle": regions.RectangleRegion,
    "polygon": regions.PolygonRegion,
    "arrow": regions.ArrowRegion,
    "line": regions.LineRegion,
    "angle": regions.AngleRegion,
    "point": regions.PointRegion,
}
SECTIONS = {
    "talk": talk.Talk,
    "scans": scans.Scan,
    "views": views.View,
    "volumes": measured.Volume,
    "tables": tables.Table,
    "counts": tables.Count,
    "comparisons": tables.Comparison,
    "agreements": tables.Agreement,
    "quoted": tables.QuotedNumber,
    "materials": materials.Question,
    "contrasts": materials.Contrast,
    "sources": works.CitedWork,
    "findings": findings.Finding,
    "glossary": glossary.Term,
    "panels": panels.Panel,
    "waive": waivers.Waiver,
}


def section(title: str) -> str:
    """The text below a heading of the third level."""
    return README.split(f"\n### {title}\n")[1].split("\n### ")[0]


def rows(text: str) -> list[list[str]]:
    """The cells of all tables, without their heads."""
    lines = [line for line in text.splitlines() if line.startswith("|")]
    return [
        [cell.strip() for cell in re.split(r"(?<!\\)\|", line.strip("|"))]
        for at, line in enumerate(lines)
        if not line.startswith("| ---")
        and not (at + 1 < len(lines) and lines[at + 1].startswith("| ---"))
    ]


def code(text: str) -> list[str]:
    return re.findall(r"`([^`]+)`", text)


def bold(text: str) -> list[str]:
    return re.findall(r"\*\*`([^`]+)`\*\*", text)


def required(part: type[BaseModel]) -> set[str]:
    return {name for name, field in part.model_fields.items() if field.is_required()}


@pytest.fixture(scope="module")
def tutorial(tmp_path_factory):
    """The README's two storyboards beside the slices of the demo that the first one shows."""
    folder = tmp_path_factory.mktemp("tutorial")
    # axial z = -62.5 mm is the 54th slice; those around it are quicker to make than all 104
    load_generator().write_images("urn-fine", folder / "scans", range(51, 56))
    (folder / "talk.yaml").write_text(YAML[0], encoding="utf-8")
    (folder / "again.yaml").write_text(YAML[1], encoding="utf-8")
    return folder


def test_the_tutorial_has_two_storyboards():
    assert len(YAML) == 2


def test_the_tutorials_talk_builds_as_written(tutorial):
    out = tutorial / "out"
    build_talk(tutorial / "talk.yaml", out, Options(), no_progress)
    script = (out / "script.md").read_text(encoding="utf-8")
    assert "The orange ellipse marks it: a coil of wire, in seven turns." in script
    assert "The orange ellipse marks it" in README


def test_the_tutorials_talk_leaves_nothing_to_look_at_again(tutorial):
    assert check_talk(tutorial / "talk.yaml", None, no_progress).remarks == ()


def test_the_tutorials_second_talk_borrows_from_the_first(tutorial):
    show, _ = build_talk(tutorial / "again.yaml", tutorial / "again", Options(), no_progress)
    assert [page.title for page in show.pages] == ["What is the bright spot?"]
    assert "coil" in read_storyboard(tutorial / "again.yaml").board.regions


def test_the_tables_of_commands_and_of_their_common_options_are_complete():
    table = rows(README.split("\n## Commands\n")[1].split("\n### ")[0])
    of_commands = [row for row in table if row[0].startswith("`slidekit")]
    common = {code(row[0])[0].split()[0]: code(row[1]) for row in table if row not in of_commands}
    commands = get_command(app).commands
    assert {code(row[0])[0].split()[1] for row in of_commands} == set(commands)
    for name, command in commands.items():
        text = next(" ".join(row) for row in of_commands if f"slidekit {name}" in row[0])
        told = set(re.findall(r"--[a-z-]+", text))
        shared = {option for option, names in common.items() if name in names}
        options = {opt for p in command.params for opt in p.opts if opt.startswith("--")}
        assert told | shared == options - {"--help"}, name
        assert not told & shared, name


@pytest.mark.parametrize("name", SECTIONS)
def test_the_table_of_a_section_has_its_fields_and_no_others(name: str):
    fields = [field for row in rows(section(f"`{name}`")) for field in code(row[0])]
    written = (field.alias or key for key, field in SECTIONS[name].model_fields.items())
    assert sorted(fields) == sorted(written)


@pytest.mark.parametrize("name", SECTIONS)
def test_bold_fields_are_those_that_must_be_written(name: str):
    written = {field for row in rows(section(f"`{name}`")) for field in bold(row[0])}
    of_two = {"folder"} if name == "scans" else set()  # or another origin
    assert written == required(SECTIONS[name]) | of_two


def test_the_chronology_has_its_fields_and_those_of_its_entries():
    table = {code(row[0])[0]: row[1] for row in rows(section("`chronology`"))}
    assert set(table) == set(chronology.Chronology.model_fields)
    for name, part in (("periods", chronology.Period), ("events", chronology.Event)):
        assert set(code(table[name])) == set(part.model_fields)
        assert set(bold(table[name])) == required(part)


def test_the_account_has_its_fields_and_those_of_its_stages():
    both = rows(section("`account`"))
    fields = [*account.Account.model_fields, *account.Stage.model_fields]
    assert [field for row in both for field in code(row[0])] == fields
    must = [field for part in (account.Account, account.Stage) for field in sorted(required(part))]
    assert sorted(field for row in both for field in bold(row[0])) == sorted(must)


def test_the_answers_told_of_are_those_that_may_be_written():
    row = next(row for row in rows(section("`account`")) if row[0] == "**`here`**")
    assert code(row[1]) == list(get_args(account.Showing))


def test_the_stage_of_the_reference_is_one_of_the_demo():
    stages = account.Stages(read_storyboard(demo_folder() / "urn.yaml").board.account)
    row = next(row for row in rows(section("What `say` can hold")) if "{gift}" in row[0])
    said = [stages.say("gift", part) for part in ("", *account.STAGE_PARTS)]
    assert row[1].removeprefix("a stage: ").split("; ") == said


def test_every_shape_has_its_fields():
    text = section("`regions`")
    table = {code(row[0])[0]: code(row[1]) for row in rows(text)}
    common = set(regions.RegionBase.model_fields)
    assert set(table) == common | {"shape"} | set(SHAPES)
    for shape, part in SHAPES.items():
        own = {f for f in part.model_fields if not f.endswith("_px")} - common - {"shape"}
        assert set(table[shape]) == own


def test_every_kind_of_slide_has_its_fields():
    table = {code(row[0])[0]: row[1] for row in rows(section("`slides`"))}
    assert set(table) == set(SLIDES)
    for kind, part in SLIDES.items():
        common = set() if kind == "borrowed" else set(slides.SlideBase.model_fields)
        own = set(part.model_fields) - common - {"kind"}
        told = set(code(table[kind]))
        if kind == "scan":
            own |= set(views.ShownView.model_fields)
        assert own <= told, kind
        assert told <= own | {"borrow"}, kind
        must = required(part) - common - {"kind"}
        assert must <= set(bold(table[kind])), kind


def test_every_section_of_a_storyboard_is_told_of():
    headings = re.findall(r"^### `([a-z]+)`$", README, re.MULTILINE)
    assert sorted(headings) == sorted(model.Storyboard.model_fields)


def test_the_rules_of_check_are_told_as_their_pages_begin():
    table = README.split("\n## What `check` looks at\n")[1].split("\n## ")[0]
    told = [[f"`{rule.name}`", rule.severity, rule.summary.rstrip(".")] for rule in RULES]
    assert rows(table) == told


def test_the_marks_named_are_those_of_the_shipped_style():
    row = next(row for row in rows(section("`regions`")) if row[0] == "`color`")
    assert code(row[1]) == list(load_style("lecture-dark", Path()).marks)


@pytest.mark.parametrize("number", ["side_hole", "seal_and_hole", "hole_readers", "survey"])
def test_the_numbers_of_the_reference_are_those_of_the_demo(number: str):
    tallies = count_up(read_storyboard(demo_folder() / "urn.yaml"))
    row = next(row for row in rows(section("What `say` can hold")) if f"{{{number}}}" in row[0])
    parts = [form.removeprefix(".") for form in code(row[0])[1:]]
    said = [tallies.say(number, part).replace("\N{NO-BREAK SPACE}", " ") for part in ("", *parts)]
    assert row[1].split(": ", 1)[1].split("; ") == said


def test_the_dates_of_the_reference_can_be_read():
    dates = section("`chronology`").split("Dates are written")[1].split("\nA period may")
    for written in code(dates[0]):
        parse_date(written.strip('"'))
    (calibrated,) = (one for one in code(dates[1]) if one.startswith("calibrated"))
    event = chronology.Event.model_validate({"label": "x", **yaml.safe_load(calibrated)})
    (same,) = (one for one in code(dates[1]) if one.endswith("(95.4 %)"))
    assert event.date == parse_date(same)


@pytest.mark.parametrize(
    ("name", "part"),
    [
        *(("late_bronze", part) for part in ("start", "end", "duration")),
        ("twigs", "until.ditch"),
        ("shape_made", "overlap.graves"),
    ],
)
def test_the_spans_of_the_reference_are_those_of_the_demo(name: str, part: str):
    calendar = calendar_of(read_storyboard(demo_folder() / "urn.yaml").board)
    row = next(
        row
        for row in rows(section("What `say` can hold"))
        if row[0].startswith(f"`{{{name}.") or f"`{{{name}.{part}}}`" in row[0]
    )
    assert part in row[0]
    assert calendar.say(name, part) in row[1]


def anchors() -> set[str]:
    """What headings are called in links within a page."""
    headings = re.findall(r"^##+ (.+)$", README, re.MULTILINE)
    return {re.sub(r"[^a-z0-9 -]", "", one.lower()).replace(" ", "-") for one in headings}


def test_every_link_and_picture_is_there():
    for target in re.findall(r"\]\(([^)]+)\)", README):
        if target.startswith("#"):
            assert target[1:] in anchors(), target
        else:
            assert (Path(__file__).parents[1] / target).is_file(), target


def test_every_section_of_a_storyboard_is_found_by_task():
    table = README.split("\n## Where to find what\n")[1].split("\n## ")[0]
    for name in model.Storyboard.model_fields:
        assert f"(#{name})" in table, name


def test_the_panel_of_the_tutorial_is_written_as_told(tutorial, tmp_path):
    (panel,) = re.findall(r"^```yml\n(panels:\n.*?)^```", README, re.DOTALL | re.MULTILINE)
    talk = tutorial / "with-panel.yaml"
    talk.write_text(YAML[0] + "\n" + panel, encoding="utf-8")
    written = build_panels(talk, tmp_path, None, no_progress).files
    assert {path.name for path in written} >= {"coil.pdf", "coil.png"}


def test_every_extra_is_told_of():
    project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text("utf-8"))
    extras = set(project["project"]["optional-dependencies"]) - {"test"}
    table = section("Extras").split("\n## ")[0]
    assert [code(row[0])[0] for row in rows(table)] == sorted(extras)
