"""Dump with semicolons, single quotes and a backslash before a quote in a name.

Traps: 'O\\'Tuvel' is one cell; a semicolon within quotes; NULL is nothing and not a name; a
backslash before a backslash; a double quote is a letter like any other.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Nask League, dump"
as = "attempts"
dates = "ymd"
order = "file"

[form]
type = "text"
separator = "semicolon"
quote = "'"
escape = "backslash"
nulls = ["NULL", "NA"]

[fits]
columns = ["player", "result", "foul"]

[constants]
league = "Nask League"
season = "2018-19"

[fields]
game = "game"
date = "day"
team = "team"
opponent = "against"
player = "player"
made = "result"
trip_kind = "foul"
attempt_id = "id"
"""

FIRST = r"""
id;game;day;team;against;player;result;foul
'1';'N1';'2018-12-01';'Naskith';'Tarvery';'O\'Tuvel';'1';'personal'
'2';'N1';'2018-12-01';'Naskith';'Tarvery';'O\'Tuvel';'0';NULL
'3';'N1';'2018-12-01';'Tarvery';NULL;'Kelb; the younger';'1';NA
'4';'N1';'2018-12-01';'Tarvery';'Naskith';NULL;'1';NULL
'5';'N1';'2018-12-01';'Tarvery';'Naskith';'Plo \"Pip\" Quem\\ivar';'1';'technical'
'6';'N1';'2018-12-01';'Tarvery';'Naskith';'Plo "Pip" Quemivar';'NULL';'technical'
7;N1;2018-12-01;Tarvery;Naskith;Nullano;0;NULL
'8';'N1';'2018-12-01';'Tarvery';'Naskith';'O'Tuvel';'1';NULL
'9';'N1';'2018-12-01';'Tarvery';'Naskith';'Dren\';'1';NULL
'10';'N1';'2018-12-01';'Naskith';'Tarvery';'O\'Tuvel';'1';'flagrant'
"""

FIRST_RECORDS = r"""
line,file_id,game,date,team,opponent,player,order,made,trip_kind
2,1,N1,2018-12-01,Naskith,Tarvery,O'Tuvel,1,yes,personal
3,2,N1,2018-12-01,Naskith,Tarvery,O'Tuvel,2,no,
4,3,N1,2018-12-01,Tarvery,,Kelb; the younger,3,yes,
6,5,N1,2018-12-01,Tarvery,Naskith,"Plo ""Pip"" Quem\ivar",4,yes,technical
8,7,N1,2018-12-01,Tarvery,Naskith,Nullano,5,no,
11,10,N1,2018-12-01,Naskith,Tarvery,O'Tuvel,6,yes,flagrant
"""

SECOND = r"""
id;game;day;team;against;player;result;foul
'20';'N5';'2018-12-08';'Tarvery';'Naskith';'Kelb; the younger';'0';NULL
'21';'N5';'2018-12-08';'Naskith';'Tarvery';'O\'Tuvel';'1';NULL
"""

SECOND_RECORDS = r"""
line,file_id,game,date,team,opponent,player,order,made,trip_kind
2,20,N5,2018-12-08,Tarvery,Naskith,Kelb; the younger,1,no,
3,21,N5,2018-12-08,Naskith,Tarvery,O'Tuvel,2,yes,
"""

LEAGUE = League(
    name="semicolons, single quotes, backslashes",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Nask League", "season": "2018-19"},
    first=Week(
        file="dump.txt",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        # The tenth line is not closed where it ends: what it would swallow is not stored.
        rejected={"missing": 2, "stray_quote": 2},
    ),
    second=Week(file="dump 2.txt", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace("result", "outcome")),
    names=("result",),
)
