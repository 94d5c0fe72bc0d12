"""One sagittal picture of 1,500 slices of 512 by 512, whole process, against the plain script.

Usage: bench_sagittal.py [RUNS]. Needs 1 GB of room for temporary files.
"""

import sys
import tempfile
from pathlib import Path

from measuring import Budget, Figures, SeriesPlan, median, report, run, write_series

LONG, SHORT = 1500, 300


def plain(folder: str, out: str) -> None:
    """The whole volume in int16, with pydicom."""
    import numpy as np
    import pydicom
    from PIL import Image

    files = [pydicom.dcmread(path) for path in Path(folder).iterdir()]
    files.sort(key=lambda ds: float(ds.ImagePositionPatient[2]))
    volume = np.stack([ds.pixel_array for ds in files]).astype(np.int16)
    plane = volume[::-1, :, 256].astype(np.float32) - 1024
    grey = np.clip((plane + 160) / 400 * 255, 0, 255).astype(np.uint8)
    Image.fromarray(grey).save(out)


def ours(folder: str, out: str) -> None:
    from concurrent.futures import ThreadPoolExecutor

    from PIL import Image

    from slidekit.scans.catalogue import choose_series, index_folder
    from slidekit.scans.kept.pictures import PictureRequest, begin_pictures
    from slidekit.scans.model import GreyWindow, PlaneRequest

    series = choose_series(index_folder(Path(folder)), None)
    request = PictureRequest(PlaneRequest("sagittal", 0.0), (GreyWindow(40, 400),), 1000)
    with ThreadPoolExecutor(2) as pool:
        (begun,) = begin_pictures(series, [request], pool)
        Image.fromarray(begun.picture.result().pixels).save(out)


def main(runs: int) -> None:
    names = ("plain script, 1,500 slices", "slidekit, 1,500 slices", "slidekit, 300 slices")
    rows: dict[str, list[Figures]] = {name: [] for name in names}
    with tempfile.TemporaryDirectory() as temp:
        long, short = Path(temp, "long"), Path(temp, "short")
        write_series(long, SeriesPlan(LONG, 512))
        write_series(short, SeriesPlan(SHORT, 512))
        for i in range(runs):
            for name, what, folder in zip(
                names, ("plain", "ours", "ours"), (long, long, short), strict=True
            ):
                command = [sys.executable, __file__, what, str(folder), f"{temp}/out.png"]
                rows[name].append(run(command, SLIDEKIT_CACHE=f"{temp}/cache{i}"))
    medians = {name: median(each) for name, each in rows.items()}
    base, many, few = medians.values()
    report(
        medians,
        [
            Budget("one sagittal of 1,500 slices", many.seconds / base.seconds, 0.20),
            Budget("its memory", many.mib, 150, "MiB"),
            Budget("its memory against 300 slices", many.mib / few.mib, 1.3, "of that"),
        ],
    )


if __name__ == "__main__":
    if sys.argv[1:2] in (["plain"], ["ours"]):
        {"plain": plain, "ours": ours}[sys.argv[1]](*sys.argv[2:4])
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
