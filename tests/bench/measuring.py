"""Shared by the benchmarks: whole processes measured by turns, and figures against budgets.

Budgets are ratios to a plain script that runs beside ours on the same machine, since seconds say
more about the machine than about the code.
"""

import copy
import os
import statistics
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pydicom
from pydicom.data import get_testdata_file
from pydicom.uid import generate_uid

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Figures:
    """Medians of several runs of one command."""

    seconds: float
    mib: float  # peak resident memory
    cpu_s: float = 0.0  # of all processors together: steadier than `seconds` on a busy machine


@dataclass(frozen=True)
class Budget:
    """One promise, and what was measured."""

    what: str
    measured: float
    limit: float
    unit: str = "of plain"

    @property
    def kept(self) -> bool:
        return self.measured <= self.limit


@dataclass(frozen=True)
class SeriesPlan:
    """An ordinary CT series of noisy ellipsoids."""

    slices: int
    size: int
    seed: int = 1
    spacing_mm: float = 0.5
    step_mm: float = 1.0


def run(command: Sequence[str], **variables: str) -> Figures:
    """Seconds and peak memory of one whole process."""
    environment = {**os.environ, **variables}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # installed code is compiled once
    start = time.perf_counter()
    pid = os.posix_spawnp(command[0], list(command), environment)
    _, status, usage = os.wait4(pid, 0)
    if status:
        raise SystemExit(f"failed: {' '.join(command)}")
    seconds = time.perf_counter() - start
    return Figures(seconds, usage.ru_maxrss / 1024, usage.ru_utime + usage.ru_stime)


def median(runs: Sequence[Figures]) -> Figures:
    return Figures(
        statistics.median(one.seconds for one in runs),
        statistics.median(one.mib for one in runs),
        statistics.median(one.cpu_s for one in runs),
    )


def report(medians: Mapping[str, Figures], budgets: Sequence[Budget]) -> None:
    """Print both tables, and leave with exit code 1 if a budget is not kept."""
    for name, one in medians.items():
        print(f"{name:44} {one.seconds:8.3f} s {one.cpu_s:8.3f} CPU s {one.mib:7.0f} MiB")
    print()
    for budget in budgets:
        verdict = "kept" if budget.kept else "NOT KEPT"
        print(
            f"{budget.what:44} {budget.measured:8.3f} of at most {budget.limit:g} {budget.unit}:"
            f" {verdict}"
        )
    sys.exit(not all(budget.kept for budget in budgets))


def write_series(folder: Path, plan: SeriesPlan) -> None:
    """One file for each slice; neither names nor instance numbers are in the order of places.

    Their headers are as long as those of scanners: that of a CT image which pydicom brings along.
    """
    folder.mkdir(parents=True)
    base = pydicom.dcmread(get_testdata_file("CT_small.dcm", download=False))
    noise = np.random.default_rng(plan.seed)
    grain = noise.normal(0, 20, (plan.size, plan.size))
    y, x = np.mgrid[-1 : 1 : plan.size * 1j, -1 : 1 : plan.size * 1j]
    study, series, frame = generate_uid(), generate_uid(), generate_uid()
    order = noise.permutation(plan.slices)
    for k in range(plan.slices):
        z = (k - plan.slices / 2) / (plan.slices / 2)
        values = -1000 + np.roll(grain, (37 * k, 11 * k), (0, 1))
        for radius, number in ((0.85, 1050), (0.78, -900), (0.4, 60 * plan.seed)):
            values += np.where(x**2 + y**2 + z**2 < radius**2, number, 0)
        ds = copy.deepcopy(base)
        ds.file_meta.MediaStorageSOPInstanceUID = generate_uid()
        ds.SOPInstanceUID = ds.file_meta.MediaStorageSOPInstanceUID
        ds.StudyInstanceUID, ds.SeriesInstanceUID, ds.FrameOfReferenceUID = study, series, frame
        ds.Modality, ds.SeriesNumber, ds.InstanceNumber = "CT", plan.seed, int(order[k]) + 1
        ds.ImageType = ["ORIGINAL", "PRIMARY", "AXIAL"]
        corner = -plan.size * plan.spacing_mm / 2
        ds.pop("PixelPaddingValue", None)
        ds.ImagePositionPatient = [corner, corner, k * plan.step_mm]
        ds.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
        ds.PixelSpacing, ds.SliceThickness = [plan.spacing_mm, plan.spacing_mm], plan.step_mm
        ds.Rows = ds.Columns = plan.size
        ds.SamplesPerPixel, ds.PhotometricInterpretation = 1, "MONOCHROME2"
        ds.BitsAllocated, ds.BitsStored, ds.HighBit, ds.PixelRepresentation = 16, 16, 15, 1
        ds.RescaleSlope, ds.RescaleIntercept, ds.RescaleType = 1, -1024, "HU"
        ds.PixelData = (np.rint(values).astype("<i2") + 1024).tobytes()
        ds.save_as(folder / f"{order[k]:04d}.dcm", enforce_file_format=True)
