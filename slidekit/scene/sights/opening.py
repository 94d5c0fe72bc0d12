"""From what a storyboard says of its scans to opened series, wherever their images come from."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.catalogue import choose_series, index_archive, index_folder
from slidekit.scans.demo import demo_series_folder
from slidekit.scans.dicomweb import Remote, fetch_series
from slidekit.scans.model import Catalogue, Series
from slidekit.scans.nifti import open_nifti
from slidekit.scans.photographs import open_photograph
from slidekit.storyboard.scans import DicomWeb, Scan
from slidekit.storyboard.source import Source


@dataclass(frozen=True)
class Library:
    """The opened series of a storyboard, by scan name."""

    series: Mapping[str, Series]
    verify: bool = False  # hash the files instead of trusting their size and time of change


def open_library(source: Source, names: Iterable[str], *, verify: bool = False) -> Library:
    """Open the named scans and choose their series.

    `verify` reads every header and file again, whatever was kept of an earlier run.

    Raises
    ------
    StoryboardError
        With a fault for every scan that cannot be opened.
    """
    series: dict[str, Series] = {}
    faults: list[Fault] = []
    opening = _Opening(verify)
    for name in dict.fromkeys(names):
        scan = source.board.scans[name]
        try:
            series[name] = _as_said(opening.open(scan), scan)
        except ScanError as error:
            place = ("scans", name, scan.origin)
            faults.append(source.places.fault(place, error.wrong, error.instead))
    if faults:
        raise StoryboardError(faults)
    return Library(series, verify)


def _as_said(series: Series, scan: Scan) -> Series:
    """With what the author says of the images, and their files do not."""
    unit = scan.unit or series.unit
    return replace(series, mm_per_px=scan.mm_per_px, unit=unit, origin=scan.origin)


def _remote(written: DicomWeb) -> Remote:
    return Remote(written.url, written.study or "", written.series, written.token_env)


@dataclass
class _Opening:
    """One run over the scans of a storyboard: a folder or archive may hold several of them."""

    verify: bool
    catalogues: dict[Path, Catalogue] = field(default_factory=dict)

    def open(self, scan: Scan) -> Series:
        """The series that a scan means."""
        if scan.picture is not None:
            return open_photograph(Path(scan.picture))
        if scan.nifti is not None:
            return open_nifti(Path(scan.nifti), scan.volume)
        if scan.archive is not None:
            return choose_series(self._catalogue(Path(scan.archive), archive=True), scan.series)
        if scan.dicomweb is not None:
            folder = fetch_series(_remote(scan.dicomweb))
            return choose_series(self._catalogue(folder), scan.dicomweb.series)
        if scan.demo is not None:
            return choose_series(self._catalogue(demo_series_folder(scan.demo)), scan.series)
        if scan.folder is not None:
            return choose_series(self._catalogue(Path(scan.folder)), scan.series)
        raise ScanError("the scan does not say where its images are", "Add `folder`")

    def _catalogue(self, path: Path, *, archive: bool = False) -> Catalogue:
        if path not in self.catalogues:
            index = index_archive if archive else index_folder
            self.catalogues[path] = index(path, fresh=self.verify)
        return self.catalogues[path]
