"""The synthetic series of the demo, made on first use and kept in the user's cache."""

import hashlib
import importlib
import importlib.util
import shutil
import sys
import tempfile
from pathlib import Path
from types import ModuleType

from slidekit.cache import cache_folder
from slidekit.errors import ScanError, WriteError
from slidekit.shipped import demo_folder

_PACKAGE = "_slidekit_demo_deck"  # private, so that no installed package is shadowed


def demo_series_folder(name: str) -> Path:
    """The folder with the DICOM files of the synthetic series `name`.

    The first call writes them (some seconds), below the user's cache or the folder that the
    environment variable SLIDEKIT_CACHE names, under a key made from the generator's own text.
    Raises ScanError for an unknown name and WriteError when the cache cannot be written.
    """
    folder = cache_folder() / "demo" / _generator_key(demo_folder()) / name
    if name.replace("-", "").isalnum() and folder.is_dir():
        return folder  # the generator takes half a second to load
    synthesize = load_generator()
    if name not in synthesize.SERIES:
        known = ", ".join(synthesize.SERIES)
        raise ScanError(f"There is no synthetic series {name!r}", f"Write one of: {known}")
    if not folder.is_dir():
        try:
            _write_beside_and_rename(synthesize, name, folder)
        except OSError as error:
            raise WriteError(
                f"The synthetic series {name!r} cannot be written to {folder}: {error.strerror}",
                "Set SLIDEKIT_CACHE to a folder that can be written",
            ) from error
    return folder


def load_generator() -> ModuleType:
    """The module `synthesize` of the demo folder, which is no part of the slidekit package."""
    if f"{_PACKAGE}.synthesize" not in sys.modules:
        folder = demo_folder()
        spec = importlib.util.spec_from_file_location(
            _PACKAGE, folder / "__init__.py", submodule_search_locations=[str(folder)]
        )
        if spec is None or spec.loader is None:
            raise ScanError(f"The demo cannot be read from {folder}", "Install slidekit again")
        package = importlib.util.module_from_spec(spec)
        sys.modules[_PACKAGE] = package
        spec.loader.exec_module(package)
    return importlib.import_module(f"{_PACKAGE}.synthesize")


def _generator_key(folder: Path) -> str:
    """A short digest of the generator's source: another generator, another folder."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _write_beside_and_rename(synthesize: ModuleType, name: str, folder: Path) -> None:
    """Whoever renames first wins; nobody ever sees half a series."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=f".{name}-", dir=folder.parent))
    try:
        synthesize.write_series(name, beside)
        try:
            beside.rename(folder)
        except OSError:
            if not folder.is_dir():  # not another process that was quicker
                raise
    finally:
        shutil.rmtree(beside, ignore_errors=True)
