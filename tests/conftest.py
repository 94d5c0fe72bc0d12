"""Shared by all tests: where a test may not skip, a skip is a failure."""

import os
from pathlib import Path

import pytest

from slidekit.cache import cache_folder
from slidekit.scene.fonts import letter_with
from slidekit.wording import speak_in

NO_SKIPS = bool(os.environ.get("SLIDEKIT_NO_SKIPS"))
"""Set where every program beyond pip is installed: there, a missing one is a fault."""


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory):
    """Tests keep nothing in the user's cache but the demo's series, which take seconds to make."""
    demo = cache_folder() / "demo"
    demo.mkdir(parents=True, exist_ok=True)
    folder = tmp_path_factory.mktemp("cache")
    Path(folder, "demo").symlink_to(demo)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SLIDEKIT_CACHE", str(folder))
        yield folder


@pytest.fixture(autouse=True)
def english_again():
    """A test that speaks another language or names fonts leaves English and Arial behind."""
    yield
    speak_in("en")
    letter_with(())


def _not_allowed(report: pytest.TestReport | pytest.CollectReport) -> bool:
    return NO_SKIPS and report.skipped and not hasattr(report, "wasxfail")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if _not_allowed(report):
        report.outcome = "failed"
        report.longrepr = f"skipped, which SLIDEKIT_NO_SKIPS forbids: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    report = yield
    if _not_allowed(report):
        report.outcome = "failed"
        report.longrepr = f"skipped, which SLIDEKIT_NO_SKIPS forbids: {report.longrepr}"
    return report
