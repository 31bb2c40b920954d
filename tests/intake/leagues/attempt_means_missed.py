"""Event log in which "attempt" is the word for a miss.

Traps: "Free throw attempt" is a missed one and never an attempt of unknown result; a column FTA
stands beside it; the date has a year of two digits and the day first, which 07/11/15 alone does
not say.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Vund League, actions"
as = "attempts"
dates = "%d/%m/%y"
order = "file"

[form]
separator = "semicolon"

[fits]
columns = ["Action", "Player", "Date"]

[constants]
league = "Vund League"
season = "2015-16"

[fields]
game = "Game"
date = "Date"
team = "Team"
player = "Player"

[[texts]]
column = "Action"
pattern = '^Free throw (?P<made>made|attempt)(?: \((?P<trip_kind>technical|one and one)\))?$'

[words.made]
"made" = "yes"
"attempt" = "no"
"""

FIRST = """
Game;Date;Team;Player;FTA;Action
301;07/11/15;Tarvumere;Druniv Helfenkul;1;Free throw made
301;07/11/15;Tarvumere;Druniv Helfenkul;2;Free throw attempt
301;07/11/15;Drusoby;Keskume Urzkosh;0;Two point attempt
301;07/11/15;Drusoby;Keskume Urzkosh;0;Two point made
301;07/11/15;Drusoby;Keskume Urzkosh;1;Free throw attempt (one and one)
301;07/11/15;Drusoby;Keskume Urzkosh;1;Rebound
301;07/11/15;Tarvumere;Ploak Plintirre;1;Free throw made (technical)
302;08/11/15;Holkask;Yurborin Ulstax;1;Free throw attempt
302;08/11/15;Holkask;Yurborin Ulstax;2;Free throw attempt
302;08/11/15;Holkask;Yurborin Ulstax;3;free throw made
302;31/11/15;Holkask;Yurborin Ulstax;3;Free throw made
302;08/11/15;Tarvumere;;3;Free throw made
"""

FIRST_RECORDS = """
line,game,date,team,player,order,made,trip_kind
2,301,2015-11-07,Tarvumere,Druniv Helfenkul,1,yes,
3,301,2015-11-07,Tarvumere,Druniv Helfenkul,2,no,
6,301,2015-11-07,Drusoby,Keskume Urzkosh,3,no,one_and_one
8,301,2015-11-07,Tarvumere,Ploak Plintirre,4,yes,technical
9,302,2015-11-08,Holkask,Yurborin Ulstax,1,no,
10,302,2015-11-08,Holkask,Yurborin Ulstax,2,no,
"""

SECOND = """
Game;Date;Team;Player;FTA;Action
305;03/12/15;Drusoby;Keskume Urzkosh;1;Free throw attempt
305;03/12/15;Drusoby;Keskume Urzkosh;2;Free throw made
305;03/12/15;Drusoby;Ploak Plintirre;0;Three point attempt
"""

SECOND_RECORDS = """
line,game,date,team,player,order,made,trip_kind
2,305,2015-12-03,Drusoby,Keskume Urzkosh,1,no,
3,305,2015-12-03,Drusoby,Keskume Urzkosh,2,yes,
"""

LEAGUE = League(
    name="attempt means missed",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Vund League", "season": "2015-16", "trip_shot": "", "trip_of": ""},
    first=Week(
        file="actions.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        rejected={"bad_date": 1, "missing": 1},
        skipped={"no_match": 4},
    ),
    second=Week(
        file="actions 2.csv",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=2,
        skipped={"no_match": 1},
    ),
    changed=text(SECOND.replace("Action", "Event")),
    names=("Action",),
)
