"""Series fetched from a DICOMweb server (PS3.18, WADO-RS), once, into the user's cache. The study
that a series belongs to is asked for (QIDO-RS) when the author leaves it out.

What is kept names nobody: of every image only what slidekit reads anyway is written down, before
the first byte reaches the disk. A token is named by an environment variable, never written.
"""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from slidekit.cache import cache_folder, content_key
from slidekit.errors import ScanError, WriteError
from slidekit.scans.dicom.nameless import write_nameless

FOLDER = "dicomweb"
"""Of the cache folder."""

_TIMEOUT_S = 60.0  # without a byte from the server
_MOST_IMAGES = 20_000
_STUDY, _SERIES = "0020000D", "0020000E"  # their Instance UIDs, as JSON names them (PS3.18 F.2)
_HERE = frozenset({"localhost", "127.0.0.1", "::1"})
_STORED_AS_IT_IS = (("application/dicom", "*"),)  # any transfer syntax, as the server keeps it


@dataclass(frozen=True)
class Remote:
    """A series on a server."""

    url: str  # of the DICOMweb service, before /studies
    study_uid: str  # "" to ask the server
    series_uid: str
    token_env: str | None = None  # names the environment variable that holds a bearer token


def fetch_series(remote: Remote) -> Path:
    """The folder with the images of a series; fetched if they are not there yet.

    Raises
    ------
    ScanError
        If the server cannot be reached, refuses, has no such series, or answers something else.
    WriteError
        If the cache cannot be written.
    """
    key = content_key(remote.url.rstrip("/"), remote.study_uid, remote.series_uid)
    folder = cache_folder() / FOLDER / key
    if folder.is_dir():
        return folder
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=".", dir=folder.parent))  # for its owner only
        try:
            _fetch_into(beside, remote)
            _rename(beside, folder)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
    except OSError as failed:
        raise WriteError(
            f"The fetched series cannot be written to {folder}: {failed.strerror}",
            "Set SLIDEKIT_CACHE to a folder that can be written",
        ) from failed
    return folder


def _rename(beside: Path, folder: Path) -> None:
    """Whoever renames first wins; nobody ever sees half a series."""
    try:
        beside.rename(folder)
    except OSError:
        if not folder.is_dir():
            raise


def _fetch_into(folder: Path, remote: Remote) -> None:
    count = 0
    client = _client(remote)
    with _explained(remote):
        study_uid = remote.study_uid or _find_study(client, remote)
        for image in client.iter_series(study_uid, remote.series_uid, media_types=_STORED_AS_IT_IS):
            count += 1
            if count > _MOST_IMAGES:
                raise ScanError(
                    f"The series on {_host(remote)} has more than {_MOST_IMAGES} images",
                    "Fetch it by other means, and write `folder`",
                )
            write_nameless(image, folder / f"{count:05}.dcm")
    if not count:
        raise _not_found(remote)


def _find_study(client: Any, remote: Remote) -> str:
    """The study of the series, by the attribute that every answer must have (PS3.18 10.6.3.3)."""
    found = client.search_for_series(
        search_filters={"SeriesInstanceUID": remote.series_uid}, fields=["StudyInstanceUID"]
    )
    studies = {
        str(one[_STUDY]["Value"][0])
        for one in found
        if one[_SERIES]["Value"] == [remote.series_uid]  # a server may disregard the filter
    }
    if len(studies) > 1:
        raise ScanError(
            f"The server {_host(remote)} has series …{remote.series_uid[-8:]} in {len(studies)}"
            " studies",
            "Write `study` too",
        )
    if not studies:
        raise _not_found(remote)
    return studies.pop()


def _client(remote: Remote) -> Any:
    try:
        api = import_module("dicomweb_client.api")
    except ImportError as missing:
        raise ScanError(
            "DICOMweb servers are asked by a library that is not installed",
            "Install slidekit[dicomweb]",
        ) from missing
    client = api.DICOMwebClient(remote.url, headers=_headers(remote), timeout=_TIMEOUT_S)
    client.set_http_retry_params(retry=False)
    return client


def _headers(remote: Remote) -> dict[str, str]:
    if remote.token_env is None:
        return {}
    token = os.environ.get(remote.token_env, "")
    if not token:
        raise ScanError(
            f"The environment variable {remote.token_env} holds no token",
            f"Set it before the run: the server {_host(remote)} asks for it",
        )
    parts = urlsplit(remote.url)
    if parts.scheme != "https" and parts.hostname not in _HERE:
        raise ScanError(
            f"A token would be sent to {_host(remote)} for everybody to read", "Write https://"
        )
    return {"Authorization": f"Bearer {token}"}


@contextmanager
def _explained(remote: Remote) -> Iterator[None]:
    """What goes wrong between here and the server, in plain words; never with the token."""
    requests = import_module("requests")  # which the client rests on
    try:
        yield
    except requests.HTTPError as failed:
        status = failed.response.status_code if failed.response is not None else 0
        raise _refusal(remote, status) from None
    except requests.Timeout:
        raise ScanError(
            f"The server {_host(remote)} does not answer", "Try again later, or write `folder`"
        ) from None
    except (requests.ConnectionError, requests.exceptions.InvalidURL):
        raise ScanError(
            f"The server {_host(remote)} cannot be reached",
            "Check the url and the network; a series fetched before needs neither",
        ) from None
    except (requests.RequestException, ValueError, KeyError, AttributeError, EOFError) as strange:
        raise ScanError(
            f"The server {_host(remote)} answers with something else than DICOM images",
            "Check that the url is that of the DICOMweb service, before /studies",
        ) from strange


def _refusal(remote: Remote, status: int) -> ScanError:
    if status in (401, 403):
        instead = "Name the environment variable that holds a token with `token_env`"
        if remote.token_env is not None:
            instead = f"Renew the token in {remote.token_env}"
        return ScanError(f"The server {_host(remote)} refuses to give the series", instead)
    if status in (404, 410):
        return _not_found(remote)
    return ScanError(f"The server {_host(remote)} fails (HTTP status {status})", "Try again later")


def _not_found(remote: Remote) -> ScanError:
    wrong = f"The server {_host(remote)} has no series …{remote.series_uid[-8:]}"
    if not remote.study_uid:
        return ScanError(wrong, "Check the UID and the url; some servers need `study` too")
    return ScanError(f"{wrong} in study …{remote.study_uid[-8:]}", "Check both UIDs, and the url")


def _host(remote: Remote) -> str:
    return urlsplit(remote.url).netloc
