"""Event log whose trip numbers break.

Traps: 1 of 2 alone; 1 of 2 followed by 1 of 1; 2 of 3 without the first; a technical throw between
the throws of a trip; throws of one trip a second apart. All stays as written, and is marked.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Zell League, trips"
as = "attempts"
dates = "ymd"
order = "file"

[form]
separator = "comma"

[fits]
columns = ["event", "player"]

[constants]
league = "Zell League"
season = "2023-24"

[fields]
game = "game"
date = "date"
team = "team"
player = "player"
clock = "clock"
period = "period"

[[texts]]
column = "event"
pattern = '^(?P<made>Made|Missed) free throw (?P<trip_shot>\d)/(?P<trip_of>\d)$'

[[texts]]
column = "event"
pattern = '^(?P<made>Made|Missed) (?P<trip_kind>technical) free throw$'
"""

FIRST = """
game,date,team,player,period,clock,event
Z1,2024-04-06,Zellask,Brevin Fospell,1,8:00,Made free throw 1/2
Z1,2024-04-06,Zellask,Brevin Fospell,1,6:00,Made free throw 1/2
Z1,2024-04-06,Zellask,Brevin Fospell,1,5:59,Missed free throw 2/2
Z1,2024-04-06,Nasky,Ozkor Vaskell,2,7:00,Made free throw 1/2
Z1,2024-04-06,Nasky,Ozkor Vaskell,2,7:00,Missed free throw 1/1
Z1,2024-04-06,Nasky,Ozkor Vaskell,3,4:00,Missed free throw 2/3
Z1,2024-04-06,Nasky,Ozkor Vaskell,3,4:00,Missed free throw 3/3
Z1,2024-04-06,Zellask,Brevin Fospell,4,1:00,Made free throw 1/2
Z1,2024-04-06,Nasky,Ozkor Vaskell,4,1:00,Made technical free throw
Z1,2024-04-06,Zellask,Brevin Fospell,4,1:00,Made free throw 2/2
Z1,2024-04-06,Zellask,Brevin Fospell,4,0:10,Made free throw 0/2
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made,trip_shot,trip_of,trip_kind,incomplete
2,Z1,2024-04-06,Zellask,Brevin Fospell,1,480,1,yes,1,2,,yes
3,Z1,2024-04-06,Zellask,Brevin Fospell,1,360,2,yes,1,2,,no
4,Z1,2024-04-06,Zellask,Brevin Fospell,1,359,3,no,2,2,,no
5,Z1,2024-04-06,Nasky,Ozkor Vaskell,2,420,4,yes,1,2,,yes
6,Z1,2024-04-06,Nasky,Ozkor Vaskell,2,420,5,no,1,1,,no
7,Z1,2024-04-06,Nasky,Ozkor Vaskell,3,240,6,no,2,3,,yes
8,Z1,2024-04-06,Nasky,Ozkor Vaskell,3,240,7,no,3,3,,yes
9,Z1,2024-04-06,Zellask,Brevin Fospell,4,60,8,yes,1,2,,no
10,Z1,2024-04-06,Nasky,Ozkor Vaskell,4,60,9,yes,,,technical,no
11,Z1,2024-04-06,Zellask,Brevin Fospell,4,60,10,yes,2,2,,no
"""

SECOND = """
game,date,team,player,period,clock,event
Z2,2024-04-13,Nasky,Ozkor Vaskell,1,8:00,Missed free throw 2/2
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made,trip_shot,trip_of,trip_kind,incomplete
2,Z2,2024-04-13,Nasky,Ozkor Vaskell,1,480,1,no,2,2,,yes
"""

LEAGUE = League(
    name="trips that break",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Zell League", "season": "2023-24", "derived": "no"},
    first=Week(
        file="trips.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=10,
        rejected={"out_of_bounds": 1},
    ),
    second=Week(file="trips 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=1),
    changed=text(SECOND.replace("event", "action")),
    names=("event",),
)
