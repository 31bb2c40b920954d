"""Event log of ids, with one file of names and one of games beside it.

Traps: an id with leading zeros is not the number; an id that the second file does not have; the
second files have other forms; ids are kept beside the names to show.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Holk League, ids"
as = "attempts"
order = "file"

[form]
separator = "comma"

[fits]
columns = ["game", "pid", "code", "seq"]

[[rows.keep]]
column = "code"
is = ["FT+", "FT-"]

[constants]
league = "Holk League"
season = "2017-18"

[[lookups]]
file = "people.csv"
column = "pid"
key = "id"
take = {who = "name", side = "club"}

[[lookups]]
file = "games.txt"
column = "game"
key = 1
take = {day = 2, at_home = 3, guest = 4}

[lookups.form]
separator = "pipe"
header = 0

[fields]
game = "game"
date = "day"
home = "at_home"
away = "guest"
team = "side"
player = "who"
player_id = "pid"

[[texts]]
column = "code"
pattern = '^FT(?P<made>[+-])$'

[words.made]
"+" = "yes"
"-" = "no"
"""

PEOPLE = """
id,name,club
007,Vruor Helfano,Holkery
7,Keskor Olbarv,Wragery
12,"Plintosh, Zefemar",Wragery
"""

GAMES = """
G1|2017-11-03|Holkery|Wragery
G2|2017-11-04|Wragery|Holkery
"""

FIRST = """
seq,game,pid,code
1,G1,007,FT+
2,G1,007,FT-
3,G1,7,FT+
4,G1,7,2P+
5,G1,12,FT-
6,G2,12,FT-
7,G2,99,FT+
8,G9,7,FT+
9,G2,007,FT+
"""

FIRST_RECORDS = """
line,game,date,home,away,team,player,order,made
2,G1,2017-11-03,Holkery,Wragery,Holkery,Vruor Helfano,1,yes
3,G1,2017-11-03,Holkery,Wragery,Holkery,Vruor Helfano,2,no
4,G1,2017-11-03,Holkery,Wragery,Wragery,Keskor Olbarv,3,yes
6,G1,2017-11-03,Holkery,Wragery,Wragery,"Plintosh, Zefemar",4,no
7,G2,2017-11-04,Wragery,Holkery,Wragery,"Plintosh, Zefemar",1,no
10,G2,2017-11-04,Wragery,Holkery,Holkery,Vruor Helfano,2,yes
"""

SECOND = """
seq,game,pid,code
1,G3,7,FT-
2,G3,13,FT+
"""

SECOND_RECORDS = """
line,game,date,home,away,team,player,order,made
2,G3,2017-11-10,Wragery,Holkery,Wragery,Keskor Olbarv,1,no
3,G3,2017-11-10,Wragery,Holkery,Holkery,Ilvuk Morkeva,2,yes
"""

LEAGUE = League(
    name="look-ups: ids to names, games to dates",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Holk League", "season": "2017-18"},
    first=Week(
        file="events.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        rejected={"not_in_second_file": 2},
        skipped={"not_kept": 1},
        people="""
player,team,number,file_id
Vruor Helfano,Holkery,,007
Keskor Olbarv,Wragery,,7
"Plintosh, Zefemar",Wragery,,12
""",
        beside={"people.csv": text(PEOPLE), "games.txt": text(GAMES)},
    ),
    second=Week(
        file="events 2.csv",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=2,
        beside={
            "people.csv": text(PEOPLE + "13,Ilvuk Morkeva,Holkery\n"),
            "games.txt": text(GAMES + "G3|2017-11-10|Wragery|Holkery\n"),
        },
    ),
    changed=text(SECOND.replace("pid", "person")),
    names=("pid",),
)
