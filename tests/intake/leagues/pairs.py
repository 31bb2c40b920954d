"""Box score with makes and attempts as a pair in one cell.

Traps: 7-9 is no date; three ways to write a pair; a blank pair and a dash are "not in the table",
not 0 of 0; 9-7 is more makes than attempts; a percentage stands beside; one cell is no pair.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Lusk League, box scores"
as = "box"

[form]
separator = "comma"

[fits]
columns = ["Match", "Day", "Club", "Name", "Frees"]

[constants]
league = "Lusk League"
season = "2023-24"

[fields]
game = "Match"
date = "Day"
team = "Club"
player = "Name"

[pair]
column = "Frees"
"""

FIRST = """
Match,Day,Club,Name,Mins,Frees,Frees %
M1,2023-09-17,Luskery,Vruul Helfett,31,7-9,78
M1,2023-09-17,Luskery,Jaffey Nelzux,12,40 / 63,63
M1,2023-09-17,Luskery,Zef Olbax,8,7 of 9,78
M1,2023-09-17,Luskery,Drunast Brasketh,3,,
M1,2023-09-17,Luskery,Quonik Vaskell,0,-,-
M1,2023-09-17,Gorbholt,Teborin Quemisk,22,9-7,129
M1,2023-09-17,Gorbholt,Ilvey Drenax,25,5-0,
M1,2023-09-17,Gorbholt,Ozkume Tolveva,30,10\u201312,83
M1,2023-09-17,Gorbholt,Kesknik Plintano,30,five,83
M1,2023-09-17,Gorbholt,Ploado Wurtumen,11,01/02,50
M1,2023-09-17,Gorbholt,Yurbul Kelbarv,15,0-3,0
""".replace("\\u2013", "\u2013")

FIRST_RECORDS = """
line,date,game,team,player,made,attempts
2,2023-09-17,M1,Luskery,Vruul Helfett,7,9
3,2023-09-17,M1,Luskery,Jaffey Nelzux,40,63
4,2023-09-17,M1,Luskery,Zef Olbax,7,9
9,2023-09-17,M1,Gorbholt,Ozkume Tolveva,10,12
11,2023-09-17,M1,Gorbholt,Ploado Wurtumen,1,2
12,2023-09-17,M1,Gorbholt,Yurbul Kelbarv,0,3
"""

SECOND = """
Match,Day,Club,Name,Mins,Frees,Frees %
M4,2023-09-24,Gorbholt,Ilvey Drenax,25,2-2,100
M4,2023-09-24,Luskery,Zef Olbax,25,,
"""

SECOND_RECORDS = """
line,date,game,team,player,made,attempts
2,2023-09-24,M4,Gorbholt,Ilvey Drenax,2,2
"""

LEAGUE = League(
    name="pairs in one cell",
    kind="box",
    profile=PROFILE,
    everywhere={"league": "Lusk League", "season": "2023-24", "shot": "free_throw"},
    first=Week(
        file="box.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        rejected={"made_above_attempts": 2, "bad_pair": 1},
        skipped={"not_in_table": 2},
    ),
    second=Week(
        file="box 2.csv",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=1,
        skipped={"not_in_table": 1},
    ),
    changed=text(SECOND.replace("Frees,", "Free throws,")),
    names=("Frees",),
)
