"""A synthetic series is made once, whole, and by whoever comes first."""

import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from slidekit.errors import ScanError, WriteError
from slidekit.scans import demo


@pytest.fixture
def small_generator(monkeypatch, tmp_path):
    """In place of the urn: a series of one small file, and a count of how often it was made."""
    made = []

    def write_series(name: str, folder: Path) -> None:
        made.append(name)
        (folder / "0001.dcm").write_bytes(b"slice")

    fake = SimpleNamespace(SERIES={"urn": None}, write_series=write_series)
    monkeypatch.setattr(demo, "load_generator", lambda: fake)
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    return SimpleNamespace(made=made, module=fake, cache=tmp_path / "cache")


def test_the_second_call_finds_what_the_first_made(small_generator):
    first, second = demo.demo_series_folder("urn"), demo.demo_series_folder("urn")
    assert first == second
    assert [path.name for path in first.iterdir()] == ["0001.dcm"]
    assert small_generator.made == ["urn"]


def test_an_unknown_series_is_answered_with_the_known_ones():
    with pytest.raises(
        ScanError,
        match=r"^There is no synthetic series 'vase'\. Write one of: urn, urn-fine\.$",
    ):
        demo.demo_series_folder("vase")


def test_a_generator_that_fails_leaves_nothing_behind(small_generator):
    def fail(_name: str, folder: Path) -> None:
        (folder / "0001.dcm").write_bytes(b"half a sl")
        raise OSError(28, "No space left on device")

    small_generator.module.write_series = fail
    with pytest.raises(
        WriteError, match=r"No space left on device\. Set SLIDEKIT_CACHE to a folder"
    ):
        demo.demo_series_folder("urn")
    assert [path for path in small_generator.cache.rglob("*") if path.is_file()] == []


def test_whoever_finishes_second_takes_what_the_first_made(small_generator):
    def overtaken(_name: str, folder: Path) -> None:
        (folder / "0001.dcm").write_bytes(b"mine")
        other = folder.parent / "urn"
        other.mkdir()
        (other / "0001.dcm").write_bytes(b"theirs")

    small_generator.module.write_series = overtaken
    folder = demo.demo_series_folder("urn")
    assert (folder / "0001.dcm").read_bytes() == b"theirs"
    assert [path.name for path in folder.parent.iterdir()] == ["urn"]


def test_another_generator_gets_another_folder(small_generator, monkeypatch, tmp_path):
    source = tmp_path / "source"
    source.mkdir()
    monkeypatch.setattr(demo, "demo_folder", lambda: source)
    (source / "synthesize.py").write_text("SEED = 1\n")
    before = demo.demo_series_folder("urn")
    (source / "synthesize.py").write_text("SEED = 2\n")
    assert demo.demo_series_folder("urn") != before


def test_the_real_series_is_complete(real_series):
    assert len(list(real_series("urn").iterdir())) == 242
    assert len(list(real_series("urn-fine").iterdir())) == 104


def test_loading_the_generator_leaves_no_public_package_behind():
    trial = (
        "import sys; from slidekit.scans.demo import load_generator; load_generator();"
        " print('demo_deck' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", trial], capture_output=True, text=True, check=True)
    assert ran.stdout == "False\n"
