"""A small whole ledger of an invented league, put together by SQL, for tests of the store."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from ledger.store.agree import agree
from ledger.store.ledger_file import LedgerFile

NOON = datetime(2026, 3, 1, 12, 0, 0, 123456)

_PLAYERS = 12
_ATTEMPTS = 240

_RECORDS = """
INSERT INTO source VALUES
    (1, 'attempts', 'halma.csv', 'ab', 'cd', 4096, 243, 240, 2, 1, 0, 0, 240, 80, 0, false,
     '{}', '{}', '[]', 'ana', $at, NULL);
INSERT INTO refused_row VALUES
    (1, 7, 'date', '=cmd()', 'bad_date', 'type a day'), (1, 7, 'made', '', 'no_result', NULL),
    (1, 9, 'made', E'two\\nlines "quoted"', 'no_result', NULL);
INSERT INTO league VALUES (1, 'Halma League', 'halma league', NULL);
INSERT INTO season VALUES (1, '2023-24', '2023-24', 2023), (2, '2024-25', '2024-25', 2024);
INSERT INTO team VALUES
    (1, 1, 'Ostra', 'ostra', NULL), (2, 1, '=Weil', '=weil', NULL);
INSERT INTO player
SELECT i, 1, 'Pla' || chr(CAST(96 + i AS INTEGER)), 'pla' || chr(CAST(96 + i AS INTEGER)),
    CASE WHEN i % 2 = 0 THEN 'guard' END, 180.5 + i, NULL, NULL, NULL, NULL
FROM range(1, 13) AS t(i);
UPDATE player SET name = 'Oséll Tàrn', normal_form = 'oséll tàrn' WHERE id = 3;
INSERT INTO player_alias VALUES (3, 1, 'p-3', 'TARN Osell', 'tarn osell', 1);
INSERT INTO game
SELECT i, 1, 2, DATE '2024-10-01' + CAST(i AS INTEGER), 'regular', 1, 2, 'g' || i, NULL, NULL, '', 1
FROM range(1, 11) AS t(i);
INSERT INTO attempt
SELECT i, 1 + i % 10, 1 + i % 12, 1 + (i % 12) % 2, NULL, 1, 600.1 - i, i, 'free_throw', NULL,
    NULL, NULL, 1 + i % 2, 2, 'personal', false, false, NULL, i % 3 <> 0, NULL, NULL, 1, false
FROM range(240) AS t(i);
INSERT INTO sighting SELECT 1, 10 + i, i, 'stored', NULL FROM range(240) AS t(i);
INSERT INTO tag (id, attempt_id, tagger, tagged_at, technique_id, technique_as_written, adjudicated,
    unclear, source_id, line, removed)
SELECT i, i, 'ana', $at, 1 + i % 2, NULL, false, false, 1, 10 + i, false
FROM range(240) AS t(i) WHERE i % 12 < 4;
"""


def fill(ledger: LedgerFile) -> None:
    """Records of one source: 240 free throws of 12 players, those of the first four tagged."""
    with ledger.changing("a test") as con:
        for statement in _RECORDS.split(";\n"):
            if statement.strip():
                values = {"at": NOON} if "$at" in statement else None
                con.execute(statement, values)
        agree(con)


def make(path: Path) -> None:
    """A filled ledger at `path`, closed."""
    with LedgerFile(path, create=True, who="ana", clock=lambda: NOON) as ledger:
        fill(ledger)
