"""What spoiled input goes through, and the promise: a result, or a message of ours.

Run for as long as wanted, with memory and time of each case bounded:
    python -m tests.fuzz.targets scans 600 [FIRST_CASE]
    python -m tests.fuzz.targets files 600 [FIRST_CASE]
    python -m tests.fuzz.targets storyboards 600 [FIRST_CASE]
A case that breaks the promise is printed with its number, which makes it again.
"""

import gzip
import os
import resource
import signal
import sys
import tempfile
import time
import traceback
import zipfile
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from io import BytesIO
from pathlib import Path
from random import Random

import nibabel
import numpy as np
from PIL import Image
from pydicom.data import get_testdata_file

from slidekit.build import Options, compose_show
from slidekit.checks.talk import check_heard
from slidekit.errors import ScanError, SlidekitError
from slidekit.review import heard_of
from slidekit.scans.catalogue import choose_series, describe_series, summarize
from slidekit.scans.model import CurvedSurface, GreyWindow, PlaneRequest, Series
from slidekit.scans.origins import find_series, origin_of
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes.poses import pose_across
from slidekit.scans.planes.read import read_planes
from slidekit.scene.look import compose_contact_sheet, preview_series
from slidekit.scene.style import load_style
from slidekit.shipped import demo_folder
from slidekit.writers.starter import Place, starter_text
from tests.fuzz.mutations import mutate, mutate_bytes, spoil_text
from tests.scans.dicom_series import Placement, write_series
from tests.talks import TALK, write_block

MOST_BYTES = 3 * 2**30  # of address space: a claim of 60,000 x 60,000 pixels does not fit
MOST_SECONDS = 20
LARGEST_SEED = 60_000
WINDOW = GreyWindow(40, 400)
MOVING = TALK.replace(
    "regions:\n",
    """\
  slope:
    scan: block
    plane: oblique
    normal: [0, 0.3, 1]
    through_mm: [[16, 12, 4]]
    window: {split: [soft_tissue, {percentiles: [1, 99]}]}
  bend:
    scan: block
    plane: curved
    path_mm: [[6, 12, 3], [15, 14, 4], [25, 12, 3]]
    across: [0, 1, 0]
    width_mm: 14
    window: bone
  slice: {scan: block, plane: acquired, slice: 4, crop_px: [[2, 2], [28, 20]], window: bone}
  thick: {scan: block, plane: coronal, at_mm: 12, slab_mm: 10, slab: max, window: bone}
volumes:
  metal:
    scan: block
    shape: box
    center_mm: [16, 12, 3.5]
    size_mm: [12, 10, 5]
    from_value: 1300
    seed_mm: [16, 12, 4]
    called: the metal
regions:
""",
    1,
).replace(
    "  - id: times\n",
    """\
  - id: moving
    kind: scan
    title: What moves
    views:
      - {view: slope, locator: front, cine: {before_mm: 2, behind_mm: 2, step_mm: 1}}
      - {view: bend, cine: {before_mm: 1, behind_mm: 1, step_mm: 0.5}}
      - {view: slice, inset: {center_px: [16, 12], size_px: [8, 8], times: 1.5}}
      - {view: thick, turntable: {frames: 8}}
    say: It moves. There are {metal} of it.
  - id: times
""",
    1,
)
VOLUME = np.arange(6 * 12 * 14, dtype=np.int16).reshape(6, 12, 14)


@cache
def scan_seeds() -> tuple[bytes, ...]:
    """Files that pydicom brings along, and slices of series of this project's tests."""
    beside = Path(str(get_testdata_file("CT_small.dcm", download=False))).parent
    files = [path for path in sorted(beside.iterdir()) if path.is_file()]
    seeds = [path.read_bytes() for path in files if path.stat().st_size < LARGEST_SEED]
    with tempfile.TemporaryDirectory() as temp:
        for number, placement in enumerate((Placement(), Placement(step_lps=(0, 0.3, 1)))):
            folder = write_series(Path(temp, str(number)), VOLUME, placement)
            seeds += [path.read_bytes() for path in sorted(folder.iterdir())]
    return tuple(seeds)


@cache
def series_seeds() -> tuple[bytes, ...]:
    """The slices of one whole series."""
    with tempfile.TemporaryDirectory() as temp:
        folder = write_series(Path(temp, "series"), VOLUME)
        return tuple(path.read_bytes() for path in sorted(folder.iterdir()))


@cache
def file_seeds() -> dict[str, tuple[bytes, ...]]:
    """Volumes, pictures and archives by the ending of their names."""
    seeds: dict[str, list[bytes]] = {".nii": [], ".nii.gz": [], ".zip": []}
    for kind in (np.int16, np.float32):
        for affine in (np.eye(4), np.diag([-0.5, 0.5, 2.0, 1.0])):
            plain = nibabel.Nifti1Image(VOLUME.astype(kind), affine).to_bytes()
            seeds[".nii"].append(plain)
            seeds[".nii.gz"].append(gzip.compress(plain, mtime=0))
    for packing in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        with BytesIO() as file:
            with zipfile.ZipFile(file, "w", packing) as archive:
                for k, slice_ in enumerate(series_seeds()):
                    archive.writestr(zipfile.ZipInfo(f"scans/{k}"), slice_)
            seeds[".zip"].append(file.getvalue())
    for suffix, mode in ((".png", "L"), (".png", "RGB"), (".jpg", "RGB"), (".tif", "I;16")):
        with BytesIO() as file:
            Image.new(mode, (24, 18)).save(
                file, {".jpg": "JPEG", ".tif": "TIFF"}.get(suffix, "PNG")
            )
            seeds.setdefault(suffix, []).append(file.getvalue())
    return {suffix: tuple(each) for suffix, each in seeds.items()}


def spoil_files(random: Random, folder: Path) -> None:
    """A volume, a picture or an archive, spoiled."""
    suffix = random.choice(sorted(file_seeds()))
    path = folder / f"file{suffix}"
    path.write_bytes(mutate_bytes(random.choice(file_seeds()[suffix]), random))
    with suppress(SlidekitError):
        look_through(path)


def look_through(path: Path) -> None:
    """All that is done with images: listed, described, chosen, and shown in pictures."""
    catalogue = find_series(path)
    assert find_series(path).refusals == catalogue.refusals
    summarize(catalogue.refusals)
    with suppress(ScanError):
        choose_series(catalogue, None)
    with suppress(ScanError):
        starter_text(catalogue, Place(origin_of(path), path.name))
    compose_contact_sheet(
        preview_series(catalogue.series, lambda _: None), 0, load_style("lecture-dark", Path())
    )
    for series in catalogue.series:
        describe_series(series)
        for request in _requests(series):
            with suppress(ScanError):
                (image,) = read_planes(series, [request], find_ends=True)
                if image.values.ndim == 2:
                    make_picture(image, WINDOW, target_px=64)


def _requests(series: Series) -> list[PlaneRequest]:
    middle = 1 + len(series.slices) // 2
    requests = [PlaneRequest("acquired"), PlaneRequest("acquired", slice_number=middle)]
    requests.append(PlaneRequest("acquired", slice_number=1, overlays=True))
    if series.kind == "stack":
        corner = series.slices[0].position_lps or (0.0, 0.0, 0.0)
        place = (corner[0] + 4, corner[1] + 5, corner[2] + 2)
        surface = CurvedSurface((corner, place), (1, 0.2, 0), 6, smooth=True)
        requests += [
            PlaneRequest("oblique", pose=pose_across((0.2, 1, 0.4), place), deeper_mm=0.5),
            PlaneRequest("curved", surface=surface, slab_mm=1),
            PlaneRequest("axial", corner[2] + 1),
            PlaneRequest("coronal", corner[1] + 3, slab_mm=2),
            PlaneRequest("sagittal", corner[0] + 3, slab_mm=1, slab="max"),
        ]
    return requests


def spoil_scans(random: Random, folder: Path) -> None:
    """One file spoiled, or some slices of a series."""
    if random.random() < 0.7:
        (folder / "file").write_bytes(mutate(random.choice(scan_seeds()), random))
    else:
        for k, slice_ in enumerate(series_seeds()):
            spoiled = mutate(slice_, random) if random.random() < 0.5 else slice_
            (folder / f"slice{k}").write_bytes(spoiled)
    with suppress(SlidekitError):
        look_through(folder)


@cache
def board_seeds() -> tuple[str, ...]:
    """The demo's storyboards with a small scan in place of theirs, and those of the tests."""
    demos = (path.read_text(encoding="utf-8") for path in sorted(demo_folder().glob("*.yaml")))
    return (TALK, MOVING, *(text.replace("demo: urn", "folder: block  # urn") for text in demos))


def spoil_storyboard(random: Random, folder: Path) -> None:
    """A storyboard with random edits, read, composed and checked."""
    if not (folder / "block").is_dir():
        write_block(folder / "block")
    spoiled = spoil_text(random.choice(board_seeds()), random)
    path = folder / "talk.yaml"
    path.write_text(spoiled, encoding="utf-8", errors="surrogatepass")
    with suppress(SlidekitError):
        show = compose_show(path, Options(draft=True), lambda _total: lambda _done: None)
        check_heard(heard_of(show))


TARGETS: dict[str, Callable[[Random, Path], None]] = {
    "scans": spoil_scans,
    "files": spoil_files,
    "storyboards": spoil_storyboard,
}


def run_case(target: str, number: int) -> None:
    """The case of a number, in a folder of its own; raises what breaks the promise."""
    with tempfile.TemporaryDirectory() as temp:
        TARGETS[target](Random(f"{target} {number}"), Path(temp))  # noqa: S311 - no secret


def main(target: str, seconds: float, first: int) -> int:
    """Cases one after the other until the time is over; gives the number of broken ones."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    os.environ["SLIDEKIT_CACHE"] = tempfile.mkdtemp()
    end, number, broken = time.monotonic() + seconds, first, 0
    while time.monotonic() < end:
        signal.alarm(MOST_SECONDS)  # ends the process: no exception handler may swallow it
        try:
            run_case(target, number)
        except Exception:
            broken += 1
            print(f"case {number}", traceback.format_exc(), sep="\n", flush=True)
        number += 1
    signal.alarm(0)
    print(f"{number - first} cases of {target}, {broken} broken")
    return broken


if __name__ == "__main__":
    sys.exit(bool(main(sys.argv[1], float(sys.argv[2]), int(sys.argv[3]) if sys.argv[3:] else 0)))
