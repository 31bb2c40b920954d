"""Totals with names as "Family, Given".

Traps: the comma stands within a quoted cell; a name of one word has no given part; a family name
of two words; two blanks within a name do not make another player.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Osp League, register"
as = "totals"

[form]
separator = "comma"

[fits]
columns = ["NAME", "SEASON"]

[constants]
league = "Osp League"

[fields]
season = "SEASON"
team = "TEAM"
player = "NAME"
made = "M"
attempts = "A"

[names.player]
order = "family, given"
"""

FIRST = """
NAME,TEAM,SEASON,M,A
"Braskin, Vruast",Ospask,2018/19,20,30
"Van Tolvell, Ozkin",Ospask,2018/19,3,9
Drenak,Ospask,2018/19,1,2
"Helfosh, Ilvast Umeth",Zellholt,2018/19,44,50
"Helfosh, Ilvast  Umeth",Zellholt,2019/20,40,50
"Olbin, Kel",Zellholt,spring,4,5
"""

FIRST_RECORDS = """
line,season,team,player,made,attempts
2,2018-19,Ospask,Vruast Braskin,20,30
3,2018-19,Ospask,Ozkin Van Tolvell,3,9
4,2018-19,Ospask,Drenak,1,2
5,2018-19,Zellholt,Ilvast Umeth Helfosh,44,50
6,2019-20,Zellholt,Ilvast Umeth Helfosh,40,50
"""

SECOND = """
NAME,TEAM,SEASON,M,A
"Braskin, Vruast",Zellholt,2020/21,22,25
"""

SECOND_RECORDS = """
line,season,team,player,made,attempts
2,2020-21,Zellholt,Vruast Braskin,22,25
"""

LEAGUE = League(
    name="family name first",
    kind="totals",
    profile=PROFILE,
    everywhere={"league": "Osp League", "shot": "free_throw"},
    first=Week(
        file="register.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"bad_season": 1},
    ),
    second=Week(file="register 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=1),
    changed=text(SECOND.replace("NAME", "Player name")),
    names=("NAME",),
)
