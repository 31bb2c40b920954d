"""Every file that is written: no cell runs in a spreadsheet, and each reads back as it was."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.cohort import Cohort
from ledger.questions import registry
from ledger.safe_text import safe_cell
from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export, load
from ledger.store.share import export_share
from tests.store.filing import HEAD, Desk, desk, rows

SIGNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", "'=", "'")
COLUMNS = HEAD + ",spot,tagger,technique,note"
_TEXTS = ("game", "team", "player", "spot", "tagger", "note")


def _file(result: str = "1") -> str:
    """A row for each sign, its every text beginning with it; and one like any other."""
    lines = []
    for sign in ("", *SIGNS):
        texts = {name: f"{sign}{name} 1,2" for name in _TEXTS}
        cells = [
            "Halma League", "2023-24", "2023-10-14", texts["game"], texts["team"], texts["player"],
            result if sign else "1", texts["spot"], texts["tagger"], "board", texts["note"],
        ]  # fmt: skip
        lines.append(",".join('"' + c.replace('"', '""') + '"' for c in cells))
    return rows(COLUMNS, *lines)


def _whole(book: Desk, folder: Path, again: Desk) -> list[Path]:
    made = export(book.file, folder / "package")
    load(made, folder / "loaded.duckdb")
    again.file.release()
    again.file.path.write_bytes((folder / "loaded.duckdb").read_bytes())
    return sorted((made / "data").glob("*.csv"))


def _shared(book: Desk, folder: Path, again: Desk) -> list[Path]:
    made = export_share(book.file, folder / "share", Cohort()).folder
    for name in ("attempts", "tags"):
        again.bring((made / f"{name}.csv").read_text(encoding="utf-8"), name)
    return sorted(made.glob("*.csv"))


def _texts(path: Path) -> list[str]:
    with open(path, encoding="utf-8", newline="") as lines:
        return [cell for row in csv.reader(lines) for cell in row if not _number(cell)]


def _number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


_NAMES = """
    SELECT l.name, g.label, t.name, p.name, a.spot, k.name
    FROM attempt a JOIN game g ON g.id = a.game_id JOIN league l ON l.id = g.league_id
    JOIN team t ON t.id = a.team_id JOIN player p ON p.id = a.player_id
    LEFT JOIN tag x ON x.attempt_id = a.id LEFT JOIN technique k ON k.id = x.technique_id
    WHERE NOT a.removed
"""


@pytest.mark.parametrize("writer", [_whole, _shared])
def test_what_is_exported_runs_nowhere_and_reads_back(
    tmp_path: Path, writer: Callable[[Desk, Path, Desk], list[Path]]
) -> None:
    with desk(tmp_path, "book") as book, desk(tmp_path, "again") as again:
        report = book.bring(_file())
        # Control codes are refused on the way in, and only their refused rows are kept.
        assert report.attempts_stored > len(SIGNS) - 3

        written = writer(book, tmp_path, again)

        assert sorted(map(repr, again.rows(_NAMES))) == sorted(map(repr, book.rows(_NAMES)))
        assert len(written) > 1
        for path in written:
            assert [c for c in _texts(path) if safe_cell(c) != c] == [], path.name


def test_refused_rows_run_nowhere_and_read_back_once_mended(tmp_path: Path) -> None:
    with desk(tmp_path, "book") as book, desk(tmp_path, "again") as again:
        book.bring(_file())
        rejects = tmp_path / "rejects.csv"
        report = again.bring(_file("perhaps"), rejects=rejects)
        assert report.rejected == len(SIGNS)

        assert [c for c in _texts(rejects) if safe_cell(c) != c] == []
        again.bring(rejects.read_bytes().decode("utf-8").replace("perhaps", "1"))
        assert sorted(map(repr, again.rows(_NAMES))) == sorted(map(repr, book.rows(_NAMES)))
        assert again.dump() == book.dump()


@pytest.mark.parametrize("question", ["attempts", "ranking", "sources"])
def test_answers_as_csv_run_nowhere(tmp_path: Path, question: str) -> None:
    with desk(tmp_path, "book") as book:
        book.bring(_file())

        text = _csv(book.file, question)

        cells = [c for row in csv.reader(io.StringIO(text)) for c in row if not _number(c)]
        assert len(cells) > 1
        assert [c for c in cells if safe_cell(c) != c] == []


def _csv(ledger: LedgerFile, question: str) -> str:
    with ledger.reading() as con:
        return registry.answer(
            question, con, Cohort(), focus=None, options={}, ledger="book"
        ).main.csv()
