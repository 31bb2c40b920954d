"""Report of fixed positions: columns are characters of a line.

Traps: letters beyond ASCII are one character and several bytes; a line ends before its last
column; names are cut at the column's width; title and rule are no records; a totals line.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Pant League, printed report"
as = "attempts"
dates = "dmy"
order = "clock"

[form]
type = "fixed"
skip = [1, 2]

[[form.columns]]
name = "game"
from = 1
to = 4

[[form.columns]]
name = "date"
from = 6
to = 15

[[form.columns]]
name = "team"
from = 17
to = 26

[[form.columns]]
name = "player"
from = 28
to = 43

[[form.columns]]
name = "per"
from = 45
to = 46

[[form.columns]]
name = "left"
from = 48
to = 52

[[form.columns]]
name = "res"
from = 54
to = 57

[fits]
columns = ["game", "res"]

[[rows.drop]]
column = "player"
matches = '^TOTAL'

[constants]
league = "Pant League"
season = "2023-24"

[fields]
game = "game"
date = "date"
team = "team"
player = "player"
period = "per"
clock = "left"

[[texts]]
column = "res"
pattern = '^(?P<made>GOOD|MISS)$'
else = "reject"
"""

#        1         2         3         4         5
# 3456789012345678901234567890123456789012345678901234567
FIRST = """
GAME DATE       TEAM       PLAYER           PR CLOCK RES
--------------------------------------------------------
0071 13/01/2024 Pantholt   Vrunik Brask\u00e4n    1 09:15 GOOD
0071 13/01/2024 Pantholt   Vrunik Brask\u00e4n    1 09:15 MISS
0071 13/01/2024 Hadvost    \u0141ukast \u00d8lb\u00f3rmun   2 00:00 GOOD
0071 13/01/2024 Hadvost    Wimbebbo Grelvor  3 10:00 MISS
0071 13/01/2024 Hadvost    TOTAL                    2
0072 14/01/2024 Hadvost    Wimbebbo Grelvor  1 05:30 good
0072 14/01/2024 Hadvost    Wimbebbo Grelvor  1 05:30
0072 30/02/2024 Hadvost    Wimbebbo Grelvor  1 05:30 GOOD
0072 14/01/2024 Pantholt   Vrunik Brask\u00e4n    4 12:3x MISS
0072 14/01/2024 Pantholt   Vrunik Brask\u00e4n    4 12:30 MISS
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made
3,0071,2024-01-13,Pantholt,Vrunik Brask\u00e4n,1,555,1,yes
4,0071,2024-01-13,Pantholt,Vrunik Brask\u00e4n,1,555,2,no
5,0071,2024-01-13,Hadvost,\u0141ukast \u00d8lb\u00f3rmun,2,0,3,yes
6,0071,2024-01-13,Hadvost,Wimbebbo Grelvor,3,600,4,no
12,0072,2024-01-14,Pantholt,Vrunik Brask\u00e4n,4,750,1,no
"""

SECOND = """
GAME DATE       TEAM       PLAYER           PR CLOCK RES
--------------------------------------------------------
0090 20/01/2024 Hadvost    \u0141ukast \u00d8lb\u00f3rmun   4 00:01 MISS
0090 20/01/2024 Hadvost    \u0141ukast \u00d8lb\u00f3rmun   4 00:02 GOOD
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made
3,0090,2024-01-20,Hadvost,\u0141ukast \u00d8lb\u00f3rmun,4,1,2,no
4,0090,2024-01-20,Hadvost,\u0141ukast \u00d8lb\u00f3rmun,4,2,1,yes
"""

LEAGUE = League(
    name="fixed positions",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Pant League", "season": "2023-24"},
    first=Week(
        file="report.txt",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"no_match": 2, "bad_date": 1, "bad_clock": 1},
        skipped={"dropped": 1},
    ),
    second=Week(file="report 2.txt", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=b"",
    names=(),
)
