"""Box score with two players a row under one heading each, below a title line.

Traps: the header is on line 2 and every name in it stands twice; a blank pair is not 0 of 0; one
wrong pair (5 of 4, 5 of 0) refuses its whole row; a row of totals; the date is in the file's name.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Tolm Cup, box scores"
as = "box"
dates = "ymd"

[form]
type = "text"
separator = "comma"
header = 2

[fits]
columns = ["Player", "FTM", "FTA", "Player#2", "FTM#2", "FTA#2"]

[[rows.drop]]
column = 1
is = ["Totals"]

[[sides]]
who = 1
in = 2
thrown = 3
side = {value = "Orzlery"}

[[sides]]
who = "Player#2"
in = "FTM#2"
thrown = "FTA#2"
side = {value = "Quenung"}

[constants]
league = "Tolm Cup"
season = "2021-22"
stage = "cup"
home = "Orzlery"
away = "Quenung"

[file_name]
pattern = '(?P<game>round \d+) (?P<date>\d{4}-\d\d-\d\d)'

[fields]
player = "who"
team = "side"
made = "in"
attempts = "thrown"
"""

FIRST = """
Tolm Cup round 3,,,,,,,
Player,FTM,FTA,%,Player,FTM,FTA,%
Vruul Braskano,7,9,77.8,Skelast Zagraduk,4,4,100.0
Ozknik Tolvivar,2,2,100.0,Graumurro Wurtell,3,7,42.9
Ilvado Quemett,5,4,125.0,Wimbebbo Kelbontu,2,2,100.0
Tebemar Drenoldi,2,3,66.7,,,,
Quooth Skorbumen,,,,Ephnik Fospisk,5,0,
Zefissel Vaskarv,1,2,50.0,Haskado Nelzeva,6,8,75.0
,,,,Nolgul Grelvormun,3,3,100.0
Totals,17,20,85.0,Totals,23,24,95.8
"""

FIRST_RECORDS = """
line,date,game,team,opponent,player,made,attempts
3,2021-10-09,round 3,Orzlery,Quenung,Vruul Braskano,7,9
3,2021-10-09,round 3,Quenung,Orzlery,Skelast Zagraduk,4,4
4,2021-10-09,round 3,Orzlery,Quenung,Ozknik Tolvivar,2,2
4,2021-10-09,round 3,Quenung,Orzlery,Graumurro Wurtell,3,7
6,2021-10-09,round 3,Orzlery,Quenung,Tebemar Drenoldi,2,3
8,2021-10-09,round 3,Orzlery,Quenung,Zefissel Vaskarv,1,2
8,2021-10-09,round 3,Quenung,Orzlery,Haskado Nelzeva,6,8
9,2021-10-09,round 3,Quenung,Orzlery,Nolgul Grelvormun,3,3
"""

SECOND = """
Tolm Cup round 4 (return),,,,,,,
Player,FTM,FTA,%,Player,FTM,FTA,%
Ilvado Quemett,3,4,75.0,Ephnik Fospisk,1,1,100.0
Quooth Skorbumen,,,,Graumurro Wurtell,0,2,0.0
Totals,3,4,75.0,Totals,1,3,33.3
"""

SECOND_RECORDS = """
line,date,game,team,opponent,player,made,attempts
3,2021-10-23,round 4,Orzlery,Quenung,Ilvado Quemett,3,4
3,2021-10-23,round 4,Quenung,Orzlery,Ephnik Fospisk,1,1
4,2021-10-23,round 4,Quenung,Orzlery,Graumurro Wurtell,0,2
"""

LEAGUE = League(
    name="doubled headers",
    kind="box",
    profile=PROFILE,
    everywhere={
        "league": "Tolm Cup",
        "season": "2021-22",
        "stage": "cup",
        "home": "Orzlery",
        "away": "Quenung",
        "shot": "free_throw",
    },
    first=Week(
        file="tolm round 3 2021-10-09.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"made_above_attempts": 2},
        skipped={"dropped": 1},
    ),
    second=Week(
        file="tolm round 4 2021-10-23.csv",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=2,
        skipped={"dropped": 1},
    ),
    changed=text(SECOND.replace("FTM,FTA,%\n", "Made,FTA,%\n", 1)),
    names=("FTM#2",),
)
