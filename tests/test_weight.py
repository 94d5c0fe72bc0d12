"""What a command loads: half of the time of a build in which nothing changed is that of imports.

Each is worth its milliseconds in every run of everybody. A package that only some talks or some
outputs need is imported where it is used (`tests/bench/bench_talk.py` says what it costs).
"""

import json
import subprocess
import sys
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from tests.talks import write_talk

COMMAND_LINE = {"typer", "annotated_doc", "click", "shellingham"}
"""typer, and what its versions bring along."""

MODELS = {"annotated_types", "pydantic", "pydantic_core", "typing_extensions", "typing_inspection"}
PACKAGE = {"lxml", "pptx"}
"""python-pptx keeps the package of every deck: a well-kept library before code of our own."""

BUILD = {*COMMAND_LINE, *MODELS, *PACKAGE, "PIL", "numpy", "platformdirs", "yaml"}
"""Third-party packages of a build that finds its pictures in the cache."""

RUN = """
import json, sys
from slidekit.cli import app
app(sys.argv[1:], standalone_mode=False)
print()
print(json.dumps(sorted(sys.modules)))
"""


def loaded_by(*arguments: object) -> set[str]:
    """The modules that a command loads, by the end of it."""
    command = [sys.executable, "-c", RUN, *map(str, arguments)]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return set(json.loads(done.stdout.splitlines()[-1]))


def others(modules: set[str]) -> set[str]:
    """The third-party packages among modules, by the names they are imported by."""
    known = {name for name in packages_distributions() if not name.startswith("_")}
    return ({name.split(".")[0] for name in modules} & known) - {"slidekit"}


def rooms(modules: set[str]) -> set[str]:
    """Our own rooms among modules."""
    return {name.split(".")[1] for name in modules if name.startswith("slidekit.")}


@pytest.fixture(scope="module")
def talk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A storyboard whose pictures are in the cache, as is the drawing of its timeline."""
    folder = tmp_path_factory.mktemp("talk")
    storyboard = write_talk(folder)
    loaded_by("build", storyboard, "--out", folder / "out")
    loaded_by("check", storyboard)
    return storyboard


def test_help_loads_the_command_line_alone():
    loaded = loaded_by("--help")
    assert others(loaded) <= COMMAND_LINE
    assert rooms(loaded) == {"cli", "console", "errors"}


def test_a_build_in_which_nothing_changed_loads_what_every_build_needs(talk):
    loaded = loaded_by("build", talk, "--out", talk.parent / "out")
    assert others(loaded) <= BUILD
    assert rooms(loaded).isdisjoint({"checks", "lectern", "panels", "prepare", "review"})


def test_a_build_in_which_nothing_changed_loads_no_part_of_numpy_for_itself(talk):
    loaded = loaded_by("build", talk, "--out", talk.parent / "out")
    code = "import json, sys, numpy.typing; print(json.dumps(sorted(sys.modules)))"
    bare = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
    assert {name for name in loaded if name.startswith("numpy.")} <= set(json.loads(bare.stdout))


def test_a_check_reads_the_deck_again_and_loads_nothing_else(talk):
    loaded = loaded_by("check", talk)
    assert others(loaded) <= BUILD
    assert rooms(loaded).isdisjoint({"lectern", "panels", "prepare"})


def test_a_schema_takes_the_storyboard_alone():
    loaded = loaded_by("schema")
    assert rooms(loaded).isdisjoint({"scans", "scene", "writers", "checks", "build", "prepare"})
    assert "numpy" not in loaded
