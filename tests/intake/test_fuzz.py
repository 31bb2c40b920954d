"""Whatever happens to a file, nothing but an answer or one clear line comes of it."""

from __future__ import annotations

import hashlib

from hypothesis import example, given, settings
from hypothesis import strategies as st

from ledger.errors import OffglassError
from ledger.intake import names
from ledger.intake.read import Reading, read_snapshot
from ledger.intake.snapshot import Snapshot
from tests.intake.scenario import attempts, text_of

PLAIN = text_of(attempts(12)).encode()
NOTED = text_of(
    [(*row, 'one\n"two", three') for row in attempts(8)],
    (*["league", "season", "date", "game", "team", "player", "made", "technique", "note"],),
).encode()
PIECES = [b"", b",", b"\n", b"\r", b"x", b"1", b"2024", b"\t", b";", b"\xe9", b"\0", "é".encode()]
QUOTED_PIECES = [*PIECES, b'"', b'""', b'",', b',"', b'"\n', b"\\"]


@st.composite
def mutated(draw: st.DrawFn, source: bytes, pieces: list[bytes]) -> bytes:
    """A file with a few bytes cut out, put in, or moved."""
    data = source
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(data)))
        length = draw(st.sampled_from([0, 0, 1, 2, 9, 70]))
        piece = draw(st.sampled_from([*pieces, data[start : start + length] * 2]))
        data = data[:start] + piece + data[start + length :]
    return data


def reading_of(data: bytes) -> Reading | None:
    taken = Snapshot("given.csv", data, hashlib.sha256(data).hexdigest(), len(data), "plain")
    try:
        return read_snapshot(taken)
    except OffglassError:
        return None


def lines_counted(reading: Reading) -> list[int]:
    return [
        *reading.frame["line"].to_list(),
        *reading.rejects["line"].to_list(),
        *reading.skipped["line"].to_list(),
    ]


@settings(max_examples=250, deadline=None)
@given(data=mutated(PLAIN, PIECES))
@example(data=b"")
@example(data=b"league")
@example(data=b"player,made\r\r\n,")
def test_each_line_below_the_header_is_counted_exactly_once(data: bytes) -> None:
    reading = reading_of(data)

    if reading is None:
        return
    text = data.decode(errors="replace").replace("\r\n", "\n").replace("\r", "\n")
    physical = text.split("\n")
    filled = {
        at for at, line in enumerate(physical, 1) if at > reading.header_line and line.strip()
    }
    counted = lines_counted(reading)
    above = {line for line in counted if line < reading.header_line}
    assert sorted(counted) == sorted(filled | above)
    assert reading.rows == len(counted)
    for line, player in reading.frame.select("line", "player").iter_rows():
        cells = physical[line - 1].split(reading.separator)
        assert len(cells) == len(reading.columns)
        assert player in {names.clean(cell) for cell in cells}


@settings(max_examples=250, deadline=None)
@given(data=mutated(NOTED, QUOTED_PIECES))
def test_quotes_never_break_the_count_or_the_reader(data: bytes) -> None:
    reading = reading_of(data)

    if reading is not None:
        counted = lines_counted(reading)
        assert len(counted) == len(set(counted)) == reading.rows
        assert reading.rejects["record"].null_count() == 0
        assert set(reading.frame["player"].drop_nulls()) <= {
            names.clean(cell) for cell in reading.frame["player"].drop_nulls()
        }


@settings(max_examples=100, deadline=None)
@given(data=st.binary(max_size=300))
def test_any_bytes_are_answered(data: bytes) -> None:
    reading = reading_of(data)

    assert reading is None or reading.rows == len(lines_counted(reading))
