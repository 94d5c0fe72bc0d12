"""A headless Chromium spoken to over two pipes with the DevTools protocol: nothing to install."""

import itertools
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from io import BufferedReader, BufferedWriter
from pathlib import Path
from typing import Any

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
    "--remote-debugging-pipe",  # reads commands from file 3, answers on file 4
)

PATIENCE_S = 120.0

BECOME = """
import os, sys
os.dup2(int(sys.argv[1]), 3)
os.dup2(int(sys.argv[2]), 4)
os.execv(sys.argv[3], sys.argv[3:])
"""
"""Moves the pipes to the files that Chromium wants them at, then becomes the browser."""


def chromium() -> str | None:
    """The program, if this machine has it."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


class Tab:
    """One page of the browser."""

    def __init__(self, commands: BufferedWriter, answers: BufferedReader) -> None:
        self._commands, self._answers = commands, answers
        self._rest = b""
        self._ids = itertools.count(1)
        self._session: str | None = None
        target = self.send("Target.createTarget", url="about:blank")["targetId"]
        session = self.send("Target.attachToTarget", targetId=target, flatten=True)
        self._session = session["sessionId"]

    def send(self, method: str, **parameters: Any) -> dict[str, Any]:
        """One command and its result; events in between are of no interest here."""
        id_ = next(self._ids)
        message: dict[str, Any] = {"id": id_, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        self._commands.write(json.dumps(message).encode() + b"\0")
        self._commands.flush()
        while True:
            answer = json.loads(self._read())
            if answer.get("id") == id_:
                break
        if "error" in answer:
            raise RuntimeError(f"{method}: {answer['error']}")
        return answer["result"]  # type: ignore[no-any-return]  # as the protocol promises

    def evaluate(self, script: str) -> Any:
        """The value of a script, awaited if it is a promise."""
        result = self.send(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True
        )
        if "exceptionDetails" in result:
            raise RuntimeError(json.dumps(result["exceptionDetails"])[:2000])
        return result["result"].get("value")

    def _read(self) -> bytes:
        """The next message; messages end with a zero byte."""
        pieces = [self._rest]
        while b"\0" not in pieces[-1]:
            piece = self._answers.read1(1 << 20)
            if not piece:
                raise RuntimeError("Chromium ended before it answered")
            pieces.append(piece)
        message, _, self._rest = b"".join(pieces).partition(b"\0")
        return message


@contextmanager
def open_tab() -> Iterator[Tab]:
    """A tab of a browser of its own, with a profile of its own, both gone afterwards."""
    program = chromium()
    if program is None:
        raise RuntimeError("Chromium is not installed")
    profile = Path(tempfile.mkdtemp(prefix="chromium-"))
    read_commands, write_commands = os.pipe()
    read_answers, write_answers = os.pipe()
    become = (sys.executable, "-c", BECOME, str(read_commands), str(write_answers))
    process = subprocess.Popen(
        [*become, program, *FLAGS, f"--user-data-dir={profile}"],
        pass_fds=(read_commands, write_answers),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(read_commands)
    os.close(write_answers)
    watch = threading.Timer(PATIENCE_S, process.kill)  # then the answers end, and with them a test
    watch.start()
    try:
        with os.fdopen(write_commands, "wb") as commands, os.fdopen(read_answers, "rb") as answers:
            tab = Tab(commands, answers)
            yield tab
            tab._session = None  # the browser, not the tab, is asked to close
            tab.send("Browser.close")
        process.wait(timeout=10)
    finally:
        watch.cancel()
        if process.poll() is None:
            process.kill()
            process.wait()
        shutil.rmtree(profile, ignore_errors=True)
