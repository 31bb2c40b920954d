"""Event log whose clock counts up from the start of each period.

Traps: read as time left, the order of a game would be turned round; an overtime is shorter; a
clock beyond the end of its period.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Wrag League, time played"
as = "attempts"
dates = "ymd"
order = "clock"

[form]
separator = "comma"

[fits]
columns = ["period", "played"]

[constants]
league = "Wrag League"
season = "2023-24"

[clock]
counts = "up"
period_minutes = 10
overtime_minutes = 5
periods = 4

[fields]
game = "game"
date = "date"
team = "team"
player = "player"
period = "period"
clock = "played"
made = "made"
"""

FIRST = """
game,date,team,player,period,played,made
W1,2024-01-06,Wragholt,Umtor Jundetti,1,0:30,yes
W1,2024-01-06,Wragholt,Umtor Jundetti,1,9:30,no
W1,2024-01-06,Wragholt,Umtor Jundetti,1,9:30,yes
W1,2024-01-06,Skolask,Nolgosh Peskoldi,4,10:00,yes
W1,2024-01-06,Skolask,Nolgosh Peskoldi,5,0:12.5,no
W1,2024-01-06,Skolask,Nolgosh Peskoldi,5,5:30,no
W1,2024-01-06,Skolask,Nolgosh Peskoldi,2,10:01,no
W1,2024-01-06,Skolask,Nolgosh Peskoldi,2,0:00,no
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made
2,W1,2024-01-06,Wragholt,Umtor Jundetti,1,570,1,yes
3,W1,2024-01-06,Wragholt,Umtor Jundetti,1,30,2,no
4,W1,2024-01-06,Wragholt,Umtor Jundetti,1,30,3,yes
5,W1,2024-01-06,Skolask,Nolgosh Peskoldi,4,0,5,yes
6,W1,2024-01-06,Skolask,Nolgosh Peskoldi,5,287.5,6,no
9,W1,2024-01-06,Skolask,Nolgosh Peskoldi,2,600,4,no
"""

SECOND = """
game,date,team,player,period,played,made
W2,2024-01-13,Skolask,Nolgosh Peskoldi,3,7:00,yes
W2,2024-01-13,Skolask,Nolgosh Peskoldi,3,2:00,no
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made
2,W2,2024-01-13,Skolask,Nolgosh Peskoldi,3,180,2,yes
3,W2,2024-01-13,Skolask,Nolgosh Peskoldi,3,480,1,no
"""

LEAGUE = League(
    name="clock counting up",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Wrag League", "season": "2023-24"},
    first=Week(
        file="played.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        rejected={"bad_clock": 2},
    ),
    second=Week(file="played 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace("played", "elapsed")),
    names=("played",),
)
