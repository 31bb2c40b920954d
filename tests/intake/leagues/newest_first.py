# ruff: noqa: E501  rows of a file are as long as they are
"""JSON document of a feed: games with events, the newest event first.

Traps: the order of the attempts is the reverse of the file's; the date and the teams stand with
the game, the league with the document; ids have more digits than a float keeps; an event without
a player; a list within an event; a technical throw without its number.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Fenn League, feed"
as = "attempts"
order = "reversed"

[form]
type = "json"
path = "$.games[*].events[*]"

[fits]
columns = ["type", "ok", "shooter.name", "games.id", "games.date", "$.league"]

[[rows.keep]]
column = "type"
is = ["free throw"]

[fields]
league = "$.league"
season = "$.season.label"
game = "games.id"
date = "games.date"
home = "games.home.name"
away = "games.away.name"
team = "team"
player = "shooter.name"
period = "period"
clock = "clock"
made = "ok"
trip_shot = "throw.number"
trip_of = "throw.of"
attempt_id = "id"
"""

FIRST = """
{"league": "Fenn League", "season": {"label": "2023/24", "start": 2023}, "pages": [1, 2],
 "games": [
  {"id": 90071992547409931, "date": "2023-11-04", "home": {"name": "Fennith"},
   "away": {"name": "Wragost"}, "events": [
    {"id": "e9", "type": "free throw", "period": 4, "clock": "0:12", "team": "Wragost",
     "shooter": {"id": 31, "name": "Obrey Morkano"}, "ok": true, "throw": {"number": 2, "of": 2}},
    {"id": "e8", "type": "free throw", "period": 4, "clock": "0:12", "team": "Wragost",
     "shooter": {"id": 31, "name": "Obrey Morkano"}, "ok": false, "throw": {"number": 1, "of": 2}},
    {"id": "e7", "type": "foul", "period": 4, "clock": "0:12", "team": "Fennith",
     "shooter": null, "ok": null, "marks": ["late", {"x": 1}]},
    {"id": "e6", "type": "free throw", "period": 2, "clock": "5:00", "team": "Fennith",
     "shooter": {"id": 32, "name": "Skelast Jundivar"}, "ok": true, "throw": null},
    {"id": "e5", "type": "free throw", "period": 1, "clock": "9:59", "team": "Fennith",
     "shooter": null, "ok": true, "throw": {"number": 1, "of": 1}}]},
  {"id": 90071992547409933, "date": "2023-11-05", "home": {"name": "Wragost"},
   "away": {"name": "Klymomer"}, "events": []},
  {"id": 90071992547409932, "date": "2023-11-05", "home": {"name": "Klymomer"},
   "away": {"name": "Fennith"}, "events": [
    {"id": "k2", "type": "free throw", "period": 3, "clock": "1:30.5", "team": "Klymomer",
     "shooter": {"id": 40, "name": "Gra\\u00fcmurro \\"Zip\\" Peskett"}, "ok": false,
     "throw": {"number": 1, "of": 1}},
    {"id": "k1", "type": "free throw", "period": 3, "clock": "1:31", "team": "Fennith",
     "shooter": {"id": 32, "name": "Skelast Jundivar"}, "ok": "perhaps"}]}]}
"""

FIRST_RECORDS = """
line,game,date,home,away,team,player,period,clock,order,made,trip_shot,trip_of,file_id
1,90071992547409931,2023-11-04,Fennith,Wragost,Wragost,Obrey Morkano,4,12,3,yes,2,2,e9
2,90071992547409931,2023-11-04,Fennith,Wragost,Wragost,Obrey Morkano,4,12,2,no,1,2,e8
4,90071992547409931,2023-11-04,Fennith,Wragost,Fennith,Skelast Jundivar,2,300,1,yes,,,e6
6,90071992547409932,2023-11-05,Klymomer,Fennith,Klymomer,"Graümurro ""Zip"" Peskett",3,90.5,1,no,1,1,k2
"""

SECOND = """
{"league": "Fenn League", "season": {"label": "2023-2024"}, "games": [
  {"id": 17, "date": "2023-11-11", "home": {"name": "Fennith"}, "away": {"name": "Klymomer"},
   "events": [
    {"id": "f2", "type": "free throw", "period": 1, "clock": "3:00", "team": "Fennith",
     "shooter": {"name": "Skelast Jundivar"}, "ok": false, "throw": {"number": 2, "of": 2}},
    {"id": "f1", "type": "free throw", "period": 1, "clock": "3:00", "team": "Fennith",
     "shooter": {"name": "Skelast Jundivar"}, "ok": true, "throw": {"number": 1, "of": 2}}]}]}
"""

SECOND_RECORDS = """
line,game,date,home,away,team,player,period,clock,order,made,trip_shot,trip_of,file_id
1,17,2023-11-11,Fennith,Klymomer,Fennith,Skelast Jundivar,1,180,2,no,2,2,f2
2,17,2023-11-11,Fennith,Klymomer,Fennith,Skelast Jundivar,1,180,1,yes,1,2,f1
"""

LEAGUE = League(
    name="JSON, newest first, with the fields of parents",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Fenn League", "season": "2023-24", "shot": "free_throw"},
    first=Week(
        file="feed.json",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=4,
        rejected={"missing": 1, "unknown_word": 1},
        skipped={"not_kept": 1},
    ),
    second=Week(file="feed 2.json", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace('"ok"', '"scored"')),
    names=("ok",),
)
