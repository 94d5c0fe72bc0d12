"""Indexing a folder of 2,000 files, first and unchanged, against the plain loop over headers.

Usage: bench_index.py [RUNS]. Each time is that of the reading alone, in a process of its own.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from measuring import Budget, Figures, SeriesPlan, median, report, write_series

FILES = 2000


def plain(folder: str) -> None:
    import pydicom

    start = time.perf_counter()
    headers = [pydicom.dcmread(path, stop_before_pixels=True) for path in Path(folder).iterdir()]
    headers.sort(key=lambda ds: float(ds.ImagePositionPatient[2]))
    print(json.dumps([time.perf_counter() - start, _peak_mib(), time.process_time()]))


def ours(folder: str) -> None:
    from slidekit.scans.catalogue import choose_series, index_folder

    start = time.perf_counter()
    series = choose_series(index_folder(Path(folder)), None)
    seconds = time.perf_counter() - start
    assert len(series.slices) == FILES
    print(json.dumps([seconds, _peak_mib(), time.process_time()]))


def _peak_mib() -> float:
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def child(what: str, folder: Path, cache: Path) -> Figures:
    done = subprocess.run(
        [sys.executable, __file__, what, str(folder)],
        env={**os.environ, "SLIDEKIT_CACHE": str(cache)},
        check=True,
        capture_output=True,
    )
    return Figures(*json.loads(done.stdout))


def main(runs: int) -> None:
    names = ("plain loop", "slidekit, first", "slidekit, unchanged")
    rows: dict[str, list[Figures]] = {name: [] for name in names}
    with tempfile.TemporaryDirectory() as temp:
        folder = Path(temp, "scans")
        write_series(folder, SeriesPlan(FILES, 128))
        child("plain", folder, Path(temp))  # all files into memory
        for i in range(runs):
            rows["plain loop"].append(child("plain", folder, Path(temp)))
            for name in names[1:]:
                rows[name].append(child("ours", folder, Path(temp, f"cache{i}")))
    medians = {name: median(each) for name, each in rows.items()}
    base, first, unchanged = medians.values()
    report(
        medians,
        [
            Budget("index of 2,000 files", first.seconds / base.seconds, 0.25),
            Budget("index of 2,000 unchanged files", unchanged.seconds / base.seconds, 0.05),
            Budget("memory of a first index", first.mib, 120, "MiB"),
            Budget("memory of an unchanged index", unchanged.mib, 80, "MiB"),
        ],
    )


if __name__ == "__main__":
    if sys.argv[1:2] in (["plain"], ["ours"]):
        {"plain": plain, "ours": ours}[sys.argv[1]](sys.argv[2])
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
