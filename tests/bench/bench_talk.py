"""A talk of 40 slides and 60 views from three series of 140 slices, against the plain script.

Usage: bench_talk.py [RUNS]. Runs both by turns and prints medians and their ratios: seconds of the
whole process, and its peak memory.
"""

import json
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from pydicom.dataset import FileDataset, FileMetaDataset
from pydicom.uid import CTImageStorage, ExplicitVRLittleEndian, generate_uid

HERE = Path(__file__).parent
SERIES = {"head": 1, "body": 2, "block": 3}
SLICES, SIZE, SPACING_MM, STEP_MM = 140, 512, 0.5, 1.0


def write_series(folder: Path, seed: int) -> None:
    """Noisy ellipsoids, 512 by 512, as ordinary CT files."""
    folder.mkdir(parents=True)
    noise = np.random.default_rng(seed)
    y, x = np.mgrid[-1 : 1 : SIZE * 1j, -1 : 1 : SIZE * 1j]
    study, series, frame = generate_uid(), generate_uid(), generate_uid()
    for k in range(SLICES):
        z = (k - SLICES / 2) / (SLICES / 2)
        values = -1000 + noise.normal(0, 20, (SIZE, SIZE))
        for radius, number in ((0.85, 1050), (0.78, -900), (0.4, 60 * seed)):
            values += np.where(x**2 + y**2 + z**2 < radius**2, number, 0)
        meta = FileMetaDataset()
        meta.TransferSyntaxUID = ExplicitVRLittleEndian
        meta.MediaStorageSOPClassUID = CTImageStorage
        meta.MediaStorageSOPInstanceUID = generate_uid()
        ds = FileDataset("", {}, file_meta=meta, preamble=b"\0" * 128)
        ds.SOPClassUID, ds.SOPInstanceUID = CTImageStorage, meta.MediaStorageSOPInstanceUID
        ds.StudyInstanceUID, ds.SeriesInstanceUID, ds.FrameOfReferenceUID = study, series, frame
        ds.Modality, ds.SeriesNumber, ds.InstanceNumber = "CT", seed, k + 1
        ds.ImageType = ["ORIGINAL", "PRIMARY", "AXIAL"]
        ds.ImagePositionPatient = [-128.0, -128.0, k * STEP_MM]
        ds.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
        ds.PixelSpacing, ds.SliceThickness = [SPACING_MM, SPACING_MM], STEP_MM
        ds.Rows = ds.Columns = SIZE
        ds.SamplesPerPixel, ds.PhotometricInterpretation = 1, "MONOCHROME2"
        ds.BitsAllocated, ds.BitsStored, ds.HighBit, ds.PixelRepresentation = 16, 16, 15, 1
        ds.RescaleSlope, ds.RescaleIntercept, ds.RescaleType = 1, -1024, "HU"
        ds.PixelData = (np.rint(values).astype("<i2") + 1024).tobytes()
        ds.save_as(folder / f"{(k * 37) % SLICES:04d}.dcm", enforce_file_format=True)


def plan_slides() -> list[list[dict[str, object]]]:
    """30 axial, 10 coronal and 20 sagittal views on 40 slides; 50 of them carry marks."""
    views = []
    for i in range(60):
        plane = ("axial", "axial", "axial", "sagittal", "sagittal", "coronal")[i % 6]
        at = 5.0 + 2 * i if plane == "axial" else -60.0 + 2 * i
        views.append(
            {"series": list(SERIES)[i % 3], "plane": plane, "at_mm": at, "center": 40,
             "width": 400, "marks": (1 + i % 2) if i < 50 else 0}
        )  # fmt: skip
    return [[views[i]] for i in range(20)] + [views[i : i + 2] for i in range(20, 60, 2)]


def storyboard(slides: list[list[dict[str, object]]], folders: dict[str, str]) -> str:
    """The same talk as a storyboard (JSON is YAML)."""
    views, regions, told = {}, {}, []
    for i, shown in enumerate(slides):
        entries = []
        for j, view in enumerate(shown):
            name = f"v{i}_{j}"
            views[name] = {
                "scan": view["series"], "plane": view["plane"], "at_mm": view["at_mm"],
                "window": {"center": view["center"], "width": view["width"]},
            }  # fmt: skip
            marks = [f"r{i}_{j}_{k}" for k in range(view["marks"])]
            for k, mark in enumerate(marks):
                center = [-20 + 40 * k, 10] if view["plane"] == "axial" else [-20 + 40 * k, 70]
                regions[mark] = {"view": name, "shape": "ellipse", "called": f"region {k}",
                                 "center_mm": center, "radii_mm": [14, 9]}  # fmt: skip
            entries.append({"view": name, "regions": marks, "caption": f"View {j} of slide {i}"})
        told.append({"id": f"s{i}", "kind": "scan", "title": f"Slide {i + 1}", "views": entries,
                     "say": f"The words of slide {i + 1}."})  # fmt: skip
    scans = {
        name: {"folder": folder, "credit": "Made for a benchmark", "rights": "CC0"}
        for name, folder in folders.items()
    }
    talk = {"title": "Benchmark", "slot_min": 30}
    return json.dumps(
        {"talk": talk, "scans": scans, "views": views, "regions": regions, "slides": told}
    )


def run(command: list[str], environment: dict[str, str]) -> tuple[float, float]:
    """Seconds and peak MiB of one whole process."""
    start = time.perf_counter()
    pid = os.posix_spawnp(command[0], command, environment)
    _, status, usage = os.wait4(pid, 0)
    if status:
        raise SystemExit(f"failed: {' '.join(command)}")
    return time.perf_counter() - start, usage.ru_maxrss / 1024


def main(runs: int) -> None:
    with tempfile.TemporaryDirectory() as temp:
        folder = Path(temp)
        folders = {name: str(folder / name) for name in SERIES}
        for name, seed in SERIES.items():
            write_series(Path(folders[name]), seed)
        slides = plan_slides()
        plan = folder / "plan.json"
        plan.write_text(json.dumps({"series": folders, "slides": slides}), encoding="utf-8")
        board = folder / "talk.yaml"
        board.write_text(storyboard(slides, folders), encoding="utf-8")
        # the caps on linear algebra kernels of some machines slow neither side; left as they are
        commands = {
            "plain, default": [sys.executable, str(HERE / "plain_talk.py"), str(plan),
                               str(folder / "plain.pptx")],
            "plain, lanczos": [sys.executable, str(HERE / "plain_talk.py"), str(plan),
                               str(folder / "lanczos.pptx"), "lanczos"],
            "slidekit, cold": [sys.executable, "-m", "slidekit", "build", str(board), "--out",
                               str(folder / "out")],
            "slidekit --help": [sys.executable, "-m", "slidekit", "--help"],
        }  # fmt: skip
        figures: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
        for i in range(runs):
            for name, command in commands.items():
                environment = {**os.environ, "SLIDEKIT_CACHE": str(folder / f"cache{i}")}
                figures[name].append(run(command, environment))
        report(
            {
                name: tuple(map(statistics.median, zip(*rows, strict=True)))
                for name, rows in figures.items()
            }
        )


def report(medians: dict[str, tuple[float, ...]]) -> None:
    for name, (seconds, mib) in medians.items():
        print(f"{name:18} {seconds:7.2f} s {mib:7.0f} MiB")
    ours = medians["slidekit, cold"]
    for plain in ("plain, default", "plain, lanczos"):
        print(f"ratio to {plain}: {ours[0] / medians[plain][0]:.3f} of the time, "
              f"{ours[1] / medians[plain][1]:.3f} of the memory")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
