"""Event log without "n of m", its trips grouped by player and clock on request.

Traps: grouped trips are marked derived; throws of one trip may lie a second apart; the same clock
of another player is another trip.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Skol League, by clock"
as = "attempts"
dates = "ymd"
order = "file"
trips = "by clock"
trip_seconds = 1

[form]
separator = "comma"

[fits]
columns = ["clock", "result"]

[constants]
league = "Skol League"
season = "2023-24"

[fields]
game = "game"
date = "date"
team = "team"
player = "player"
period = "period"
clock = "clock"
made = "result"
"""

FIRST = """
game,date,team,player,period,clock,result
S1,2024-02-10,Skolery,Tebast Cravosh,1,9:10,made
S1,2024-02-10,Skolery,Tebast Cravosh,1,9:10,missed
S1,2024-02-10,Adubery,Zefast Nelzosh,1,9:10,made
S1,2024-02-10,Adubery,Zefast Nelzosh,2,4:31,missed
S1,2024-02-10,Adubery,Zefast Nelzosh,2,4:30,made
S1,2024-02-10,Adubery,Zefast Nelzosh,2,4:28,made
S1,2024-02-10,Skolery,Tebast Cravosh,4,0:02,made
S1,2024-02-10,Skolery,Tebast Cravosh,4,0:02,made
S1,2024-02-10,Skolery,Tebast Cravosh,4,0:02,missed
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made,trip_shot,trip_of,derived
2,S1,2024-02-10,Skolery,Tebast Cravosh,1,550,1,yes,1,2,yes
3,S1,2024-02-10,Skolery,Tebast Cravosh,1,550,2,no,2,2,yes
4,S1,2024-02-10,Adubery,Zefast Nelzosh,1,550,3,yes,1,1,yes
5,S1,2024-02-10,Adubery,Zefast Nelzosh,2,271,4,no,1,2,yes
6,S1,2024-02-10,Adubery,Zefast Nelzosh,2,270,5,yes,2,2,yes
7,S1,2024-02-10,Adubery,Zefast Nelzosh,2,268,6,yes,1,1,yes
8,S1,2024-02-10,Skolery,Tebast Cravosh,4,2,7,yes,1,3,yes
9,S1,2024-02-10,Skolery,Tebast Cravosh,4,2,8,yes,2,3,yes
10,S1,2024-02-10,Skolery,Tebast Cravosh,4,2,9,no,3,3,yes
"""

SECOND = """
game,date,team,player,period,clock,result
S2,2024-02-17,Skolery,Tebast Cravosh,1,1:00,missed
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made,trip_shot,trip_of,derived
2,S2,2024-02-17,Skolery,Tebast Cravosh,1,60,1,no,1,1,yes
"""

LEAGUE = League(
    name="trips grouped by clock",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Skol League", "season": "2023-24", "incomplete": "no"},
    first=Week(file="by clock.csv", data=text(FIRST), records=FIRST_RECORDS, stored=9),
    second=Week(file="by clock 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=1),
    changed=text(SECOND.replace("clock", "left")),
    names=("clock",),
)
