"""A DICOMweb server for tests: serves one folder by WADO-RS (PS3.18 10.4), and names its study by
QIDO-RS (10.6), for a minute at most.

Run as a program of its own: ``python wado_server.py FOLDER``; it prints its port. Study and series
are told apart by the first file's UIDs. Other paths misbehave on purpose: /wrong answers a web
page, /broken fails, /slow never ends, /private asks for the token "sesame", /twice knows the series
in two studies, /deaf disregards what is searched for.
"""

import json
import sys
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import parse_qs

from pydicom import dcmread

LONGEST_S = 60.0
TAGS = ("0020000D", "0020000E")  # Study and Series Instance UID
BOUNDARY = "a-boundary-of-no-meaning"


class Handler(BaseHTTPRequestHandler):
    files: list[Path]
    path_of_series: str

    def do_GET(self) -> None:
        way, _, rest = self.path.lstrip("/").partition("/")
        if way == "wrong":
            self._answer(200, "text/html", b"<html>Welcome</html>")
        elif way == "broken":
            self._answer(500, "text/plain", b"")
        elif way == "slow":
            time.sleep(LONGEST_S)
        elif way == "private" and self.headers.get("Authorization") != "Bearer sesame":
            self._answer(401, "text/plain", b"")
        elif rest.startswith("series?"):
            self._answer(200, "application/dicom+json", self._found(way, rest))
        elif rest != self.path_of_series:
            self._answer(404, "text/plain", b"")
        else:
            kind = f'multipart/related; type="application/dicom"; boundary={BOUNDARY}'
            self._answer(200, kind, self._parts())

    def _found(self, way: str, query: str) -> bytes:
        _, study, _, series = self.path_of_series.split("/")
        wanted = parse_qs(query.partition("?")[2])
        known = [(study, series)]
        if way == "deaf":
            known.insert(0, ("1.2.3", "1.2.3.4"))
        elif wanted.get("SeriesInstanceUID", wanted.get("0020000E")) != [series]:
            known = []
        if way == "twice":
            known.append(("1.2.3", series))
        answer = [
            {tag: {"vr": "UI", "Value": [uid]} for tag, uid in zip(TAGS, one, strict=True)}
            for one in known
        ]
        return json.dumps(answer).encode()

    def _parts(self) -> bytes:
        head = f"--{BOUNDARY}\r\nContent-Type: application/dicom\r\n\r\n".encode()
        parts = [head + path.read_bytes() + b"\r\n" for path in self.files]
        return b"".join(parts) + f"--{BOUNDARY}--\r\n".encode()

    def _answer(self, status: int, kind: str, body: bytes) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_args: object) -> None:
        """Say nothing."""


def main() -> None:
    Handler.files = sorted(Path(sys.argv[1]).iterdir())
    first = dcmread(Handler.files[0], stop_before_pixels=True)
    Handler.path_of_series = f"studies/{first.StudyInstanceUID}/series/{first.SeriesInstanceUID}"
    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    threading.Timer(LONGEST_S, server.shutdown).start()
    print(server.server_address[1], flush=True)
    server.serve_forever()


if __name__ == "__main__":
    main()
