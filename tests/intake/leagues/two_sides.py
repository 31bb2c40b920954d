# ruff: noqa: E501  rows of a file are as long as they are
"""Event log with the text of both sides in one row.

Traps: a make is the absence of MISS, and a player is called Missano; a row may hold an attempt of
both sides; a technical throw has no "n of m"; two equal misses at one clock are two attempts; a
shot of another kind, a jump ball and a blocked layup are no free throws.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Brem League, play by play"
as = "attempts"
dates = "ymd"
order = "file"
note = "A free throw is made unless its text begins with MISS."

[form]
type = "text"
separator = "comma"

[fits]
columns = ["game_no", "day", "home", "visitor", "per", "left", "home text", "visitor text"]

[[sides]]
happened = "home text"
side = "home"
against = "visitor"

[[sides]]
happened = "visitor text"
side = "visitor"
against = "home"

[constants]
league = "Brem League"
season = "2022-23"

[fields]
game = "game_no"
date = "day"
home = "home"
away = "visitor"
team = "side"
opponent = "against"
period = "per"
clock = "left"

[[texts]]
column = "happened"
pattern = '^(?P<made>MISS )?(?P<player>[^(]+?) Free Throw(?: (?P<trip_kind>Technical|Flagrant))?(?: (?P<trip_shot>\d) of (?P<trip_of>\d))?(?: \(\d+ PTS\))?$'

[blanks]
made = "yes"

[words.made]
"MISS" = "no"
"""

FIRST = r"""
game_no,day,home,visitor,per,left,home text,visitor text,score
B1,2022-10-08,Skolomer,Vestholt,1,12:00,Jump ball Brask vs. Tolvar,,0-0
B1,2022-10-08,Skolomer,Vestholt,1,9:41,Braskano Free Throw 1 of 2 (1 PTS),,1-0
B1,2022-10-08,Skolomer,Vestholt,1,9:41,MISS Braskano Free Throw 2 of 2,,1-0
B1,2022-10-08,Skolomer,Vestholt,1,9:39,,Tolvivar REBOUND (Off:0 Def:1),1-0
B1,2022-10-08,Skolomer,Vestholt,1,4:07.5,,Missano Free Throw 1 of 1 (3 PTS),1-3
B1,2022-10-08,Skolomer,Vestholt,2,11:15,Quemett Free Throw Technical (1 PTS),MISS Drenoldi Free Throw Technical,2-3
B1,2022-10-08,Skolomer,Vestholt,2,6:02,MISS Helfenkul Free Throw Technical,,2-3
B1,2022-10-08,Skolomer,Vestholt,2,6:02,MISS Helfenkul Free Throw Technical,,2-3
B1,2022-10-08,Skolomer,Vestholt,3,5:38,MISS Quemett 14' Jump Shot,Tolvivar BLOCK (1 BLK),2-3
B1,2022-10-08,Skolomer,Vestholt,4,0:47,,MISS Tolvivar Free Throw 1 of 3,2-3
B1,2022-10-08,Skolomer,Vestholt,4,0:47,,Tolvivar Free Throw 2 of 3 (1 PTS),2-4
B1,2022-10-08,Skolomer,Vestholt,4,0:47,SUB: Braskano FOR Helfenkul,Tolvivar Free Throw 3 of 3 (2 PTS),2-5
B2,2022-10-09,Bramvund,Skolomer,1,8:00,MISS Zagraduk Free Throw Flagrant 1 of 2,,0-0
B2,2022-10-09,Bramvund,Skolomer,1,8:00,Zagraduk Free Throw Flagrant 2 of 2 (1 PTS),,1-0
B2,2022-10-09,Bramvund,Skolomer,1,7:44,,,1-0
B2,2022-10-09,Bramvund,Skolomer,1,7:30,,Braskano Free Throw 1 of 2 (1 PTS),1-1
B2,2022-10-09,Bramvund,Skolomer,1,half,,Braskano Free Throw 2 of 2 (2 PTS),1-2
"""

FIRST_RECORDS = """
line,game,date,home,away,team,opponent,player,period,clock,order,made,trip_shot,trip_of,trip_kind
3,B1,2022-10-08,Skolomer,Vestholt,Skolomer,Vestholt,Braskano,1,581,1,yes,1,2,
4,B1,2022-10-08,Skolomer,Vestholt,Skolomer,Vestholt,Braskano,1,581,2,no,2,2,
6,B1,2022-10-08,Skolomer,Vestholt,Vestholt,Skolomer,Missano,1,247.5,3,yes,1,1,
7,B1,2022-10-08,Skolomer,Vestholt,Skolomer,Vestholt,Quemett,2,675,4,yes,,,technical
7,B1,2022-10-08,Skolomer,Vestholt,Vestholt,Skolomer,Drenoldi,2,675,5,no,,,technical
8,B1,2022-10-08,Skolomer,Vestholt,Skolomer,Vestholt,Helfenkul,2,362,6,no,,,technical
9,B1,2022-10-08,Skolomer,Vestholt,Skolomer,Vestholt,Helfenkul,2,362,7,no,,,technical
11,B1,2022-10-08,Skolomer,Vestholt,Vestholt,Skolomer,Tolvivar,4,47,8,no,1,3,
12,B1,2022-10-08,Skolomer,Vestholt,Vestholt,Skolomer,Tolvivar,4,47,9,yes,2,3,
13,B1,2022-10-08,Skolomer,Vestholt,Vestholt,Skolomer,Tolvivar,4,47,10,yes,3,3,
14,B2,2022-10-09,Bramvund,Skolomer,Bramvund,Skolomer,Zagraduk,1,480,1,no,1,2,flagrant
15,B2,2022-10-09,Bramvund,Skolomer,Bramvund,Skolomer,Zagraduk,1,480,2,yes,2,2,flagrant
17,B2,2022-10-09,Bramvund,Skolomer,Skolomer,Bramvund,Braskano,1,450,3,yes,1,2,
"""

SECOND = r"""
game_no,day,home,visitor,per,left,home text,visitor text,score
B7,2022-10-15,Vestholt,Bramvund,1,7:00,Missano Free Throw 1 of 2 (1 PTS),,1-0
B7,2022-10-15,Vestholt,Bramvund,1,7:00,MISS Missano Free Throw 2 of 2,Zagraduk REBOUND (Off:0 Def:1),1-0
B7,2022-10-15,Vestholt,Bramvund,4,0:01.2,,MISS Zagraduk Free Throw 1 of 1,1-0
"""

SECOND_RECORDS = """
line,game,date,home,away,team,opponent,player,period,clock,order,made,trip_shot,trip_of,trip_kind
2,B7,2022-10-15,Vestholt,Bramvund,Vestholt,Bramvund,Missano,1,420,1,yes,1,2,
3,B7,2022-10-15,Vestholt,Bramvund,Vestholt,Bramvund,Missano,1,420,2,no,2,2,
4,B7,2022-10-15,Vestholt,Bramvund,Bramvund,Vestholt,Zagraduk,4,1.2,3,no,1,1,
"""

LEAGUE = League(
    name="two sides of an event in one row",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Brem League", "season": "2022-23", "shot": "free_throw"},
    first=Week(
        file="brem week 1.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=12,
        rejected={"bad_clock": 1},
        skipped={"no_match": 4},
    ),
    second=Week(file="brem week 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=3),
    changed=text(SECOND.replace("home text", "home event")),
    names=("home text",),
)
