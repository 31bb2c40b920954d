"""Event log with period and clock in one cell, in no order.

Traps: "2 - 0:47" is the second period, not a range; the rows stand as they were typed, so that the
order follows the clock; attempts at one clock keep the file's order; overtime.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Murd League, times"
as = "attempts"
dates = "ymd"
order = "clock"

[form]
separator = "comma"

[fits]
columns = ["time", "what"]

[constants]
league = "Murd League"
season = "2023-24"

[fields]
game = "g"
date = "d"
team = "t"
player = "p"

[[texts]]
column = "what"
pattern = '^FT (?P<made>made|missed)$'

[[texts]]
column = "time"
pattern = '^(?P<period>\d+|OT) - (?P<clock>\d+:\d\d)$'
else = "reject"
"""

FIRST = """
g,d,t,p,time,what
M1,2024-03-02,Murdery,Obrul Tindoldi,2 - 0:47,FT made
M1,2024-03-02,Murdery,Obrul Tindoldi,2 - 0:47,FT missed
M1,2024-03-02,Murdery,Obrul Tindoldi,1 - 9:59,FT missed
M1,2024-03-02,Pantost,Skelor Ulstirre,4 - 0:00,FT made
M1,2024-03-02,Pantost,Skelor Ulstirre,OT - 4:59,FT made
M1,2024-03-02,Pantost,Skelor Ulstirre,2 - 5:10,FT made
M1,2024-03-02,Pantost,Skelor Ulstirre,2 - 5:10,2P made
M1,2024-03-02,Pantost,Skelor Ulstirre,halftime,FT made
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made
2,M1,2024-03-02,Murdery,Obrul Tindoldi,2,47,3,yes
3,M1,2024-03-02,Murdery,Obrul Tindoldi,2,47,4,no
4,M1,2024-03-02,Murdery,Obrul Tindoldi,1,599,1,no
5,M1,2024-03-02,Pantost,Skelor Ulstirre,4,0,5,yes
6,M1,2024-03-02,Pantost,Skelor Ulstirre,5,299,6,yes
7,M1,2024-03-02,Pantost,Skelor Ulstirre,2,310,2,yes
"""

SECOND = """
g,d,t,p,time,what
M2,2024-03-09,Pantost,Skelor Ulstirre,4 - 0:01,FT missed
M2,2024-03-09,Pantost,Skelor Ulstirre,1 - 0:01,FT made
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made
2,M2,2024-03-09,Pantost,Skelor Ulstirre,4,1,2,no
3,M2,2024-03-09,Pantost,Skelor Ulstirre,1,1,1,yes
"""

LEAGUE = League(
    name="period and clock in one cell",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Murd League", "season": "2023-24"},
    first=Week(
        file="times.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        rejected={"no_match": 1},
        skipped={"no_match": 1},
    ),
    second=Week(file="times 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace("time", "when")),
    names=("time",),
)
