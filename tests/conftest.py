"""Shared by all tests: where a test may not skip, a skip is a failure."""

import os

import pytest

NO_SKIPS = bool(os.environ.get("SLIDEKIT_NO_SKIPS"))
"""Set where every program beyond pip is installed: there, a missing one is a fault."""


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
