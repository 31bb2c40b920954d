"""How far a long answer is stands on stderr of a terminal, and nowhere else."""

from __future__ import annotations

import io
import sys

import pytest

from ledger.cli.progress import shown


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_each_percent_is_written_once_and_the_line_goes_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)

    with shown(quiet=False) as progress:
        assert progress is not None
        for part in (0.0, 0.004, 0.5, 0.501, 1.0):
            progress(part)

    assert terminal.getvalue() == "\r\x1b[K0 %\r\x1b[K50 %\r\x1b[K100 %\r\x1b[K"


@pytest.mark.parametrize(("stream", "quiet"), [(io.StringIO(), False), (Terminal(), True)])
def test_nothing_is_written_where_nobody_looks(
    stream: io.StringIO, quiet: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)

    with shown(quiet=quiet) as progress:
        assert progress is None

    assert stream.getvalue() == ""


def test_the_line_goes_away_when_the_answer_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)

    def failing() -> None:
        with shown(quiet=False) as progress:
            assert progress is not None
            progress(0.1)
            raise ValueError("broken")

    with pytest.raises(ValueError, match="broken"):
        failing()

    assert terminal.getvalue().endswith("\r\x1b[K")
