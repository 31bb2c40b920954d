"""Spreadsheet kept by hand: a title and a remark above the header, on the second sheet.

Traps: the first sheet holds something else; a pair typed as 7-9 has become a date and is no pair;
ids are numbers shown with leading zeros; an error, a formula whose value was never stored, a blank
row between, a true date beside dates as text.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date, datetime

from openpyxl import Workbook

from tests.intake.leagues.case import League, Week

PROFILE = r"""
profile = 1
name = "Drus League, kept by hand"
as = "box"
dates = "ymd"

[form]
type = "sheet"
sheet = "Frees"
header = 4

[fits]
columns = ["Game", "Day", "Team", "Player", "FT"]

[constants]
league = "Drus League"
season = "2022-23"

[fields]
game = "Game"
date = "Day"
team = "Team"
player = "Player"

[pair]
column = "FT"
"""

HEADER = ("Game", "Day", "Team", "Player", "FT", "Rate")


def book(rows: Sequence[tuple[object, ...]], header: tuple[str, ...] = HEADER) -> bytes:
    """A workbook with `rows` below the header on line 4 of its second sheet."""
    made = Workbook()
    first = made.active
    assert first is not None
    first.title = "About"
    first.append(("Game", "Day", "Team", "Player", "FT"))
    first.append((1, date(2022, 10, 1), "Nobody", "Not Arow", "9-9"))
    sheet = made.create_sheet("Frees")
    sheet["A1"] = "Free throws, season 2022-23"
    sheet["B2"] = "as counted from the bench"
    for at, name in enumerate(header, 1):
        sheet.cell(4, at, name)
    for down, row in enumerate(rows, 5):
        for at, value in enumerate(row, 1):
            cell = sheet.cell(down, at, value)
            if at == 1 and isinstance(value, int):
                cell.number_format = "0000"
            if at == 6 and isinstance(value, float):
                cell.number_format = "0.0%"
            if isinstance(value, date):
                cell.number_format = "dd/mm/yyyy"
    made.properties.created = made.properties.modified = datetime(2022, 12, 1)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


DAY = date(2022, 11, 5)
FIRST: list[tuple[object, ...]] = [
    (71, DAY, "Drusumere", "Tebul Zagrano", "7-9", 0.778),
    (71, DAY, "Drusumere", "Ozkast Grelvett", "2 / 2", 1.0),
    (71, DAY, "Drusumere", "Vruast Jundax", datetime(2022, 7, 9), None),
    (71, DAY, "Wragumere", "Umak Fospivar", "#N/A", None),
    (71, DAY, "Wragumere", "Graumak Slessell", '=CONCATENATE(3,"-",4)', None),
    (),
    (72, "2022-11-06", "Wragumere", "Umak Fospivar", "0-1", 0.0),
    ("72b", "2022-11-06", "Wragumere", "Zefiv Olboldi", None, None),
    (72, "2022-11-06", "Drusumere", "Tebul Zagrano", "5 of 8", 0.625),
]

FIRST_RECORDS = """
line,date,game,team,player,made,attempts
5,2022-11-05,0071,Drusumere,Tebul Zagrano,7,9
6,2022-11-05,0071,Drusumere,Ozkast Grelvett,2,2
11,2022-11-06,0072,Wragumere,Umak Fospivar,0,1
13,2022-11-06,0072,Drusumere,Tebul Zagrano,5,8
"""

SECOND: list[tuple[object, ...]] = [
    (80, date(2022, 11, 12), "Wragumere", "Zefiv Olboldi", "3-3", 1.0),
    (80, date(2022, 11, 12), "Drusumere", "Ozkast Grelvett", "1-4", 0.25),
]

SECOND_RECORDS = """
line,date,game,team,player,made,attempts
5,2022-11-12,0080,Wragumere,Zefiv Olboldi,3,3
6,2022-11-12,0080,Drusumere,Ozkast Grelvett,1,4
"""

LEAGUE = League(
    name="spreadsheet with a preamble and a second sheet",
    kind="box",
    profile=PROFILE,
    everywhere={"league": "Drus League", "season": "2022-23", "shot": "free_throw"},
    first=Week(
        file="frees.xlsx",
        data=book(FIRST),
        records=FIRST_RECORDS,
        stored=4,
        rejected={"bad_pair": 1, "cell_error": 1, "formula_without_value": 1},
        skipped={"not_in_table": 1},
    ),
    second=Week(file="frees 2.xlsx", data=book(SECOND), records=SECOND_RECORDS, stored=2),
    changed=book(SECOND, ("Game", "Day", "Team", "Player", "Frees", "Rate")),
    names=("FT",),
)
