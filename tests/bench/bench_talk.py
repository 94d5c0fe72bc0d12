"""A talk of 40 slides and 60 views from three series of 140 slices, against the plain script.

Usage: bench_talk.py [RUNS]. Runs all by turns and prints medians of whole processes and ratios.
"""

import json
import sys
import tempfile
from pathlib import Path

from measuring import HERE, Budget, Figures, SeriesPlan, median, report, run, write_series

SERIES = {"head": 1, "body": 2, "block": 3}
SLICES, SIZE = 140, 512


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


def main(runs: int) -> None:
    rows: dict[str, list[Figures]] = {}
    with tempfile.TemporaryDirectory() as temp:
        folder = Path(temp)
        folders = {name: str(folder / name) for name in SERIES}
        for name, seed in SERIES.items():
            write_series(Path(folders[name]), SeriesPlan(SLICES, SIZE, seed))
        slides = plan_slides()
        plan = folder / "plan.json"
        plan.write_text(json.dumps({"series": folders, "slides": slides}), encoding="utf-8")
        board, changed = folder / "talk.yaml", folder / "changed.yaml"
        board.write_text(storyboard(slides, folders), encoding="utf-8")
        plain = [sys.executable, str(HERE / "plain_talk.py"), str(plan), str(folder / "out.pptx")]
        build = [sys.executable, "-m", "slidekit", "build"]
        out = ["--out", str(folder / "out")]
        for i in range(runs):
            slides[7][0]["center"] = 50 + i
            changed.write_text(storyboard(slides, folders), encoding="utf-8")
            commands = {
                "plain, default": plain,
                "plain, lanczos": [*plain, "lanczos"],
                "slidekit, cold": [*build, str(board), *out],
                "slidekit, nothing changed": [*build, str(board), *out],
                "slidekit, one view changed": [*build, str(changed), *out],
                "slidekit --help": [sys.executable, "-m", "slidekit", "--help"],
                "imports of a build, alone": [sys.executable, "-c", "import slidekit.build"],
            }
            for name, command in commands.items():
                figures = run(command, SLIDEKIT_CACHE=str(folder / f"cache{i}"))
                rows.setdefault(name, []).append(figures)
    medians = {name: median(each) for name, each in rows.items()}
    plain_default, plain_lanczos, cold, warm, changed_one, help_text, _ = medians.values()
    report(
        medians,
        [
            Budget("cold", cold.seconds / plain_default.seconds, 0.25),
            Budget("cold", cold.seconds / plain_lanczos.seconds, 0.25, "of lanczos plain"),
            Budget("its memory", cold.mib, 350, "MiB"),
            Budget("nothing changed", warm.seconds / plain_default.seconds, 0.10),
            Budget(
                "nothing changed",
                warm.seconds / plain_lanczos.seconds,
                0.10,
                "of lanczos plain",
            ),
            Budget("one view changed", changed_one.seconds - warm.seconds, 0.2, "s more than that"),
            Budget("help", help_text.seconds, 0.25, "s"),
        ],
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
