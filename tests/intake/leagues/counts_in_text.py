# ruff: noqa: E501  rows of a file are as long as they are
"""Feed of one JSON object a line, in which "2/2" is the player's count so far, not the trip.

Traps: reading 1/2 as the first of two would invent trips; the clock is in seconds; the date has no
signs between its parts; a line that is cut and one that is a list instead of an object.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Hadv League, live feed"
as = "attempts"
dates = "ymd"
order = "clock"
note = "2/2 is the player's count of the game, so trips stay unknown."

[form]
type = "json lines"

[fits]
columns = ["g", "d", "txt", "p"]

[constants]
league = "Hadv League"
season = "2023-24"

[fields]
game = "g"
date = "d"
team = "tm"
player = "p"
period = "q"
clock = "s"

[[texts]]
column = "txt"
pattern = '^Free throw (?P<made>good|missed) \d+/\d+$'
"""

FIRST = """
{"g":"0071","d":"20231014","tm":"Hadvumere","p":"Wimbebbo Tindarv","q":1,"s":551.0,"txt":"Free throw good 1/1"}
{"g":"0071","d":"20231014","tm":"Hadvumere","p":"Wimbebbo Tindarv","q":1,"s":550.0,"txt":"Free throw missed 1/2"}
{"g":"0071","d":"20231014","tm":"Naskoby","p":"Brevoth Cravenkul","q":1,"s":333,"txt":"Layup good 1/1"}

{"g":"0071","d":"20231014","tm":"Naskoby","p":"Brevoth Cravenkul","q":2,"s":88.4,"txt":"Free throw good 1/1"}
{"g":"0071","d":"20231014","tm":"Naskoby","p":"Brevoth Cravenkul","q":2,"s":88.4,"txt":"Free throw good 2/2"}
{"g":"0071","d":"20231014","tm":"Naskoby","p":"Brevoth
["0071","20231014","Naskoby","Brevoth Cravenkul",2,70,"Free throw good 3/3"]
{"txt":"Free throw missed 2/3","p":"Brevoth Cravenkul","tm":"Naskoby","d":"20231014","g":"0071","q":4,"s":2}
{"g":"0071","d":"20231014","tm":"Hadvumere","p":"Wimbebbo Tindarv","q":4,"s":1,"txt":"Free throw good"}
{"g":"0071","d":"20231032","tm":"Hadvumere","p":"Wimbebbo Tindarv","q":4,"s":1,"txt":"Free throw good 2/3"}
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made
1,0071,2023-10-14,Hadvumere,Wimbebbo Tindarv,1,551,1,yes
2,0071,2023-10-14,Hadvumere,Wimbebbo Tindarv,1,550,2,no
5,0071,2023-10-14,Naskoby,Brevoth Cravenkul,2,88.4,3,yes
6,0071,2023-10-14,Naskoby,Brevoth Cravenkul,2,88.4,4,yes
9,0071,2023-10-14,Naskoby,Brevoth Cravenkul,4,2,5,no
"""

SECOND = """
{"g":"0080","d":"20231021","tm":"Naskoby","p":"Umtissel Slessosh","q":1,"s":600,"txt":"Free throw missed 0/1"}
{"g":"0080","d":"20231021","tm":"Naskoby","p":"Umtissel Slessosh","q":1,"s":599,"txt":"Free throw good 1/2"}
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made
1,0080,2023-10-21,Naskoby,Umtissel Slessosh,1,600,1,no
2,0080,2023-10-21,Naskoby,Umtissel Slessosh,1,599,2,yes
"""

LEAGUE = League(
    name="JSON lines with the player's count in the text",
    kind="attempts",
    profile=PROFILE,
    everywhere={
        "league": "Hadv League",
        "season": "2023-24",
        "trip_shot": "",
        "trip_of": "",
        "derived": "no",
        "incomplete": "no",
    },
    first=Week(
        file="live.jsonl",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"bad_json": 2, "bad_date": 1},
        skipped={"no_match": 2},
    ),
    second=Week(file="live 2.jsonl", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace('"txt"', '"text"')),
    names=("txt",),
)
