"""The drawing process: kept warm, replaced when it dies, never waited for without end."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.charts.painter import Painter
from ledger.errors import Stopped, UseError

# What a small drawing process of these tests begins with: `send` answers one request.
SEND = """\
import json, os, pathlib, sys, time
def send(text):
    print(json.dumps({"bytes": len(text)}))
    print(text, end="", flush=True)
"""


@pytest.fixture
def made() -> Iterator[list[Painter]]:
    painters: list[Painter] = []
    yield painters
    for painter in painters:
        painter.close()


def painter(made: list[Painter], code: str) -> Painter:
    made.append(Painter(("-c", SEND + code)))
    return made[-1]


def test_one_process_serves_many_requests(made: list[Painter]) -> None:
    one = painter(made, "for n, _ in enumerate(sys.stdin): send(f'{os.getpid()} {n}')")

    replies = [one.paint({}).split() for _ in range(3)]

    assert len({pid for pid, _ in replies}) == 1
    assert [n for _, n in replies] == [b"0", b"1", b"2"]


def test_a_process_that_dies_is_told_by_its_signal_and_replaced(made: list[Painter]) -> None:
    one = painter(made, "sys.stdin.readline(); os.abort()")

    for _ in range(2):
        with pytest.raises(UseError, match="its process was ended by SIGABRT"):
            one.paint({})


def test_a_process_that_ends_in_the_middle_is_told_by_its_code(made: list[Painter]) -> None:
    half = "sys.stdin.readline(); print(json.dumps({'bytes': 99}), flush=True); sys.exit(3)"
    one = painter(made, half)

    with pytest.raises(UseError, match="ended with code 3"):
        one.paint({})


def test_a_process_that_never_answers_is_ended(made: list[Painter]) -> None:
    one = painter(made, "time.sleep(60)")

    with pytest.raises(UseError, match=r"took longer than 0\.3 seconds"):
        one.paint({}, limit=0.3)


def test_a_picture_nobody_wants_any_more_ends_with_its_process(made: list[Painter]) -> None:
    one = painter(made, "for _ in sys.stdin: print(os.getpid(), file=sys.stderr); time.sleep(60)")
    raised: list[BaseException] = []

    def ask() -> None:
        try:
            one.paint({})
        except Stopped as error:
            raised.append(error)

    thread = threading.Thread(target=ask)
    thread.start()
    for _ in range(500):
        if one._drawing is not None:
            break
        time.sleep(0.01)
    process = one._drawing
    assert process is not None
    one.stop()
    thread.join(5)

    assert not thread.is_alive()
    assert len(raised) == 1
    assert process.poll() == -signal.SIGKILL


def test_stopping_when_nothing_is_drawn_spoils_no_later_picture(made: list[Painter]) -> None:
    one = painter(made, "for _ in sys.stdin: send('ok')")
    one.stop()
    assert one.paint({}) == b"ok"
    one.stop()
    assert one.paint({}) == b"ok"


def test_a_garbled_reply_is_no_picture(made: list[Painter]) -> None:
    one = painter(made, "sys.stdin.readline(); print('hello', flush=True)")

    with pytest.raises(UseError, match="the picture could not be drawn"):
        one.paint({})


def test_what_the_process_says_went_wrong_reaches_the_user(made: list[Painter]) -> None:
    one = painter(
        made, 'import sys\nfor _ in sys.stdin: print(\'{"error": "bad mark"}\', flush=True)'
    )

    with pytest.raises(UseError, match="cannot be drawn: bad mark"):
        one.paint({})


def test_a_process_that_went_to_sleep_just_now_is_started_again(
    made: list[Painter], tmp_path: Path
) -> None:
    mark = tmp_path / "second"
    one = painter(
        made,
        f"mark = pathlib.Path({str(mark)!r})\n"
        "for line in sys.stdin:\n"
        "    if 'again' in line and not mark.exists():\n"
        "        mark.touch()\n"
        "        sys.exit(0)\n"
        "    send('ok')\n",
    )
    one.paint({})

    assert one.paint({"again": 1}) == b"ok"
    assert mark.exists()


def test_two_threads_get_their_own_pictures(made: list[Painter]) -> None:
    one = painter(made, "for line in sys.stdin: send(json.loads(line)['n'] * 1000)")
    replies: dict[str, bytes] = {}

    def ask(letter: str) -> None:
        replies[letter] = one.paint({"n": letter})

    threads = [threading.Thread(target=ask, args=(letter,)) for letter in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert replies == {letter: letter.encode() * 1000 for letter in "abcd"}


def test_the_drawing_process_lives_through_a_bad_chart_and_ends_when_idle() -> None:
    code = "import ledger.charts.child as child; child.IDLE_SECONDS = 0.5; child.main()"
    lines = [b'{"kind": "gif", "spec": {}, "title": "", "description": ""}\n', b"no json\n"]

    with subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        replies = []
        for line in lines:
            process.stdin.write(line)
            process.stdin.flush()
            replies.append(process.stdout.readline())
        code_at_end = process.wait(timeout=20)

    assert b"no picture is called gif" in replies[0]
    assert b"error" in replies[1]
    assert code_at_end == 0


def test_text_that_kills_the_drawing_library_costs_one_picture_only(made: list[Painter]) -> None:
    made.append(Painter())
    spec: dict[str, Any] = {
        "data": {"values": [{"t": "A\x1b[31m\x00"}]},
        "mark": "text",
        "encoding": {"text": {"field": "t", "type": "nominal"}},
    }
    request = {"spec": spec, "kind": "png", "title": "", "description": ""}

    with pytest.raises(UseError, match="the picture"):
        made[-1].paint(request)

    spec["data"] = {"values": [{"t": "A"}]}
    assert made[-1].paint(request).startswith(b"\x89PNG")


def test_a_file_in_the_current_folder_does_not_pass_for_a_module(
    made: list[Painter], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "json.py").write_text("raise SystemExit(9)")
    (tmp_path / "ledger.py").write_text("raise SystemExit(9)")
    monkeypatch.chdir(tmp_path)
    made.append(Painter())

    with pytest.raises(UseError, match="no picture is called gif"):
        made[-1].paint({"kind": "gif", "spec": {}, "title": "", "description": ""})


def test_a_process_that_was_got_ready_draws_the_first_picture(made: list[Painter]) -> None:
    one = painter(made, "for line in sys.stdin: send(f'{os.getpid()} {line[:8]}')")

    one.get_ready()
    for _ in range(500):
        if one._process is not None:
            break
        time.sleep(0.01)
    assert one._process is not None
    ready = one._process.pid

    assert one.paint({"n": 1}).split()[0] == str(ready).encode()


def test_getting_ready_in_vain_says_nothing_until_a_picture_is_wanted(made: list[Painter]) -> None:
    one = painter(made, "sys.stdin.readline(); sys.exit(3)")

    one._get_ready()

    with pytest.raises(UseError, match="ended with code 3"):
        one.paint({})


def test_closing_does_not_wait_for_what_is_being_drawn(made: list[Painter]) -> None:
    one = painter(made, "time.sleep(60)")
    one.get_ready()
    for _ in range(500):
        if one._drawing is not None:
            break
        time.sleep(0.01)
    began = time.monotonic()

    one.close()

    assert time.monotonic() - began < 10
    assert one._process is None
