"""JSON list of events whose league and date stand only in the file's name.

Traps: two files of one day are two games only by their name; numbers as texts and as numbers;
true and false are results; a name that is a number.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Juniors"
as = "attempts"
dates = "ymd"
order = "file"

[form]
type = "json"
path = "$[*]"

[fits]
columns = ["what", "made", "who"]

[[rows.keep]]
column = "what"
matches = '^FT'

[constants]
season = "2020-21"

[file_name]
pattern = '^(?P<league>Juniors \w+) (?P<date>\d{4}-\d{2}-\d{2})(?P<game>[a-z]?)\.json$'

[fields]
team = "team"
player = "who"
made = "made"

[[texts]]
column = "what"
pattern = '^FT(?: (?P<trip_shot>\d)/(?P<trip_of>\d))?$'
else = "reject"

[blanks]
game = "only"
"""

FIRST = """
[
 {"what": "FT 1/2", "who": "Ilvin Zagrosk", "team": "Vestask", "made": true},
 {"what": "FT 2/2", "who": "Ilvin Zagrosk", "team": "Vestask", "made": false},
 {"what": "2P", "who": "Ilvin Zagrosk", "team": "Vestask", "made": true},
 {"what": "FT", "who": 32, "team": "Bramost", "made": 1},
 {"what": "FT", "who": "32", "team": "Bramost", "made": "0"},
 {"what": "FT extra", "who": "Jaffin Plosk", "team": "Bramost", "made": true},
 {"what": "FT", "who": "Jaffin Plosk", "team": "Bramost", "made": null},
 {"what": "FT", "who": ["Jaffin", "Plosk"], "team": "Bramost", "made": true}
]
"""

FIRST_RECORDS = """
line,league,date,game,team,player,order,made,trip_shot,trip_of
1,Juniors U16,2021-07-09,only,Vestask,Ilvin Zagrosk,1,yes,1,2
2,Juniors U16,2021-07-09,only,Vestask,Ilvin Zagrosk,2,no,2,2
4,Juniors U16,2021-07-09,only,Bramost,32,3,yes,,
5,Juniors U16,2021-07-09,only,Bramost,32,4,no,,
8,Juniors U16,2021-07-09,only,Bramost,"Jaffin, Plosk",5,yes,,
"""

SECOND = """
[{"what": "FT 1/1", "who": "Ilvin Zagrosk", "team": "Vestask", "made": false}]
"""

SECOND_RECORDS = """
line,league,date,game,team,player,order,made,trip_shot,trip_of
1,Juniors U18,2021-07-10,b,Vestask,Ilvin Zagrosk,1,no,1,1
"""

LEAGUE = League(
    name="league and date in the file's name",
    kind="attempts",
    profile=PROFILE,
    everywhere={"season": "2020-21", "shot": "free_throw"},
    first=Week(
        file="Juniors U16 2021-07-09.json",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"no_match": 1, "missing": 1},
        skipped={"not_kept": 1},
    ),
    second=Week(
        file="Juniors U18 2021-07-10b.json", data=text(SECOND), records=SECOND_RECORDS, stored=1
    ),
    changed=text(SECOND.replace('"who"', '"player"')),
    names=("who",),
)
