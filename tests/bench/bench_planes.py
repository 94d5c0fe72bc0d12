"""Planes of 1,500 slices of 512 by 512 in any direction, whole process, against the sagittal one.

Usage: bench_planes.py [RUNS]. Needs 1 GB of room for temporary files.
"""

import sys
import tempfile
from pathlib import Path

from measuring import Budget, Figures, SeriesPlan, median, report, run, write_series

LONG, SHORT = 1500, 300
WAYS = ("sagittal", "coronal", "oblique", "oblique slab", "curved")


def ours(folder: str, way: str) -> None:
    from slidekit.scans.catalogue import choose_series, index_folder
    from slidekit.scans.geometry import corners
    from slidekit.scans.model import CurvedSurface, PlaneRequest
    from slidekit.scans.planes.poses import pose_across
    from slidekit.scans.planes.read import read_planes

    series = choose_series(index_folder(Path(folder)), None)
    x, y, z = corners(series).mean(axis=0).tolist()
    pose = pose_across((0.2, 1, 0.1), (x, y, z))
    bend = ((x, y - 20, 0.1 * z), (x + 15, y + 30, 0.8 * z), (x, y, 1.9 * z))
    request = {
        "sagittal": PlaneRequest("sagittal", x),
        "coronal": PlaneRequest("coronal", y),
        "oblique": PlaneRequest("oblique", pose=pose),
        "oblique slab": PlaneRequest("oblique", pose=pose, slab_mm=10),
        "curved": PlaneRequest("curved", surface=CurvedSurface(bend, (1, 0, 0), 200, smooth=True)),
    }[way]
    read_planes(series, [request])


def main(runs: int) -> None:
    names = {way: f"{way}, {LONG} slices" for way in WAYS}
    few = f"oblique slab, {SHORT} slices"
    rows: dict[str, list[Figures]] = {name: [] for name in (*names.values(), few)}
    with tempfile.TemporaryDirectory() as temp:
        long, short = Path(temp, "long"), Path(temp, "short")
        write_series(long, SeriesPlan(LONG, 512))
        write_series(short, SeriesPlan(SHORT, 512))
        cases = [(name, long, way) for way, name in names.items()] + [(few, short, WAYS[3])]
        for i in range(runs):
            for name, folder, way in cases:
                command = [sys.executable, __file__, "ours", str(folder), way]
                cache = f"{temp}/cache {i} {name}"  # none profits from what another has kept
                rows[name].append(run(command, SLIDEKIT_CACHE=cache))
    medians = {name: median(each) for name, each in rows.items()}
    base = medians[names["sagittal"]]
    ratio = {way: medians[names[way]].seconds / base.seconds for way in WAYS}
    slab = medians[names["oblique slab"]]
    report(
        medians,
        [
            Budget(
                "one coronal, of which only rows are read", ratio["coronal"], 1.1, "of sagittal"
            ),
            Budget("one oblique", ratio["oblique"], 2, "of sagittal"),
            Budget("10 mm of oblique slab", ratio["oblique slab"], 6, "of sagittal"),
            Budget("one curved", ratio["curved"], 2, "of sagittal"),
            Budget("memory of the slab", slab.mib, 250, "MiB"),
            Budget("its memory against 300 slices", slab.mib / medians[few].mib, 1.3, "of that"),
        ],
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["ours"]:
        ours(*sys.argv[2:4])
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
