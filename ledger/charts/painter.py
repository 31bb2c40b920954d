"""The handle of the drawing process: started when needed, kept warm, replaced when it dies."""

from __future__ import annotations

import atexit
import json
import os
import signal
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import Any

from ledger.errors import Stopped, UseError

# Long enough for a slow machine's first picture; a picture usually takes a second.
TIME_LIMIT = 60.0
_ROOT = str(Path(__file__).resolve().parents[2])


class Painter:
    """One drawing process at a time; safe to use from several threads.

    Args:
        command: what is started, the module of the drawing process unless a test says otherwise.
    """

    def __init__(self, command: tuple[str, ...] = ("-m", "ledger.charts.child")) -> None:
        self._command = command
        self._process: subprocess.Popen[bytes] | None = None
        self._lock = threading.Lock()
        self._owner = 0
        # What is being drawn this moment, and whether somebody no longer wants it.
        self._guard = threading.Lock()
        self._drawing: subprocess.Popen[bytes] | None = None
        self._unwanted = False

    def paint(self, request: dict[str, Any], *, limit: float = TIME_LIMIT) -> bytes:
        """The picture of one request (see the drawing process).

        Args:
            request: in plain JSON types, its texts made safe.
            limit: seconds after which the process is ended.

        Raises:
            UseError: if it cannot be drawn, takes too long, or the process died over it.
            Stopped: if `stop` was called meanwhile.
        """
        line = json.dumps(request, allow_nan=False).encode() + b"\n"
        with self._lock:
            process, reused = self._running()
            try:
                return self._ask(process, line, limit)
            except _GoneError as gone:
                self._drop()
                # A process that was idle for long ends by itself, perhaps just now.
                if not (reused and gone.code == 0):
                    raise UseError(gone.words()) from None
                process, _ = self._running()
                try:
                    return self._ask(process, line, limit)
                except _GoneError as again:
                    self._drop()
                    raise UseError(again.words()) from None
            except BaseException as error:
                if not isinstance(error, UseError):
                    self._drop()
                raise

    def stop(self) -> None:
        """End the process in the middle of a picture, from any thread; nothing where none is."""
        with self._guard:
            if self._drawing is not None:
                self._unwanted = True
                self._drawing.kill()

    def get_ready(self) -> None:
        """Start the process beside what goes on, so that the first picture need not wait for it."""
        threading.Thread(target=self._get_ready, daemon=True).start()

    def _get_ready(self) -> None:
        # Whatever is wrong is told by the first picture.
        with suppress(UseError, Stopped, OSError):
            self.paint({"ready": True})

    def close(self) -> None:
        """End the process, if there is one, whatever it draws."""
        self.stop()
        with self._lock:
            self._drop()

    def _running(self) -> tuple[subprocess.Popen[bytes], bool]:
        # After a fork the process belongs to the parent: both may not talk to it.
        mine = self._owner == os.getpid()
        if self._process is not None and mine and self._process.poll() is None:
            return self._process, True
        if self._process is not None and mine:
            self._drop()
        path = [_ROOT, *filter(None, [os.environ.get("PYTHONPATH")])]
        self._process = subprocess.Popen(
            # -P: a file in the current folder must not pass for one of the program's modules.
            [sys.executable, "-P", *self._command],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(path)},
            # Ctrl-C stops the program, which then ends its drawing process itself.
            start_new_session=True,
        )
        self._owner = os.getpid()
        return self._process, False

    def _ask(self, process: subprocess.Popen[bytes], line: bytes, limit: float) -> bytes:
        assert process.stdin is not None
        assert process.stdout is not None
        late = threading.Event()

        def stop() -> None:
            late.set()
            process.kill()

        watch = threading.Timer(limit, stop)
        watch.daemon = True
        watch.start()
        with self._guard:
            self._drawing, self._unwanted = process, False
        try:
            process.stdin.write(line)
            process.stdin.flush()
            head = process.stdout.readline()
            reply = json.loads(head) if head.endswith(b"\n") else {}
            picture = process.stdout.read(reply.get("bytes", 0))
        except (OSError, ValueError):
            reply, picture = {}, b""
        finally:
            watch.cancel()
            with self._guard:
                self._drawing = None
        if self._unwanted:
            self._drop()
            raise Stopped("the picture was stopped; no file was written")
        if "error" in reply:
            raise UseError(f"the picture cannot be drawn: {reply['error']}")
        if "bytes" not in reply or len(picture) < reply["bytes"]:
            raise _GoneError(None if late.is_set() else _ended(process), limit)
        return picture

    def _drop(self) -> None:
        process, self._process = self._process, None
        if process is None or self._owner != os.getpid():
            return
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                try:
                    pipe.close()
                except OSError:
                    continue
        try:
            process.wait(timeout=0.2)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _ended(process: subprocess.Popen[bytes]) -> int:
    """The exit code of a process that has stopped answering sense."""
    try:
        return process.wait(timeout=2.0)
    except subprocess.TimeoutExpired:
        process.kill()
        return process.wait()


class _GoneError(Exception):
    def __init__(self, code: int | None, limit: float) -> None:
        super().__init__(code)
        self.code = code
        self.limit = limit

    def words(self) -> str:
        """The one line for the user."""
        if self.code is None:
            return (
                f"the picture took longer than {self.limit:g} seconds and was stopped: "
                "ask for fewer rows, or export the rows instead"
            )
        if self.code < 0:
            name = signal.Signals(-self.code).name
            how = f"was ended by {name}"
        else:
            how = f"ended with code {self.code}"
        return f"the picture could not be drawn: its process {how}; try another kind of file"


PAINTER = Painter()
atexit.register(PAINTER.close)
