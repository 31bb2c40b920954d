"""Event log without a game id: the game is told by day, home and visitor together.

Traps: two games of one day; a make is a cross in a column and its absence a miss; nothing says a
result in words, so blank cells must not be read as "not known".
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Gorb League, crosses"
as = "attempts"
dates = "dmy"
order = "file"

[form]
separator = "tab"

[fits]
columns = ["day", "home", "visitor", "shooter", "in"]

[constants]
league = "Gorb League"
season = "2019-20"

[fields]
date = "day"
home = "home"
away = "visitor"
team = "side"
player = "shooter"
made = "in"

[fields.game]
join = ["day", "home", "visitor"]
with = " / "

[blanks]
made = "no"

[words.made]
"x" = "yes"
"""

FIRST = """
day|home|visitor|side|shooter|in
7.3.2020|Gorbask|Luskost|Gorbask|Teboth Vaskosh|x
7.3.2020|Gorbask|Luskost|Gorbask|Teboth Vaskosh|
7.3.2020|Gorbask|Luskost|Luskost|Quoado Brasktind|
7.3.2020|Adukost|Gorbholt|Adukost|Ephor Skorbeva|X
7.3.2020|Adukost|Gorbholt|Adukost|Ephor Skorbeva|x
14.3.2020|Luskost|Gorbask|Luskost|Quoado Brasktind|x
14.3.2020|Luskost|Gorbask|Luskost|Quoado Brasktind|o
14.3.2020|Luskost|Gorbask|Luskost||x
""".replace("|", "\t")

FIRST_RECORDS = """
line,date,game,home,away,team,player,order,made
2,2020-03-07,7.3.2020 / Gorbask / Luskost,Gorbask,Luskost,Gorbask,Teboth Vaskosh,1,yes
3,2020-03-07,7.3.2020 / Gorbask / Luskost,Gorbask,Luskost,Gorbask,Teboth Vaskosh,2,no
4,2020-03-07,7.3.2020 / Gorbask / Luskost,Gorbask,Luskost,Luskost,Quoado Brasktind,3,no
5,2020-03-07,7.3.2020 / Adukost / Gorbholt,Adukost,Gorbholt,Adukost,Ephor Skorbeva,1,yes
6,2020-03-07,7.3.2020 / Adukost / Gorbholt,Adukost,Gorbholt,Adukost,Ephor Skorbeva,2,yes
7,2020-03-14,14.3.2020 / Luskost / Gorbask,Luskost,Gorbask,Luskost,Quoado Brasktind,1,yes
"""

SECOND = """
day|home|visitor|side|shooter|in
2.5.2020|Gorbask|Luskost|Gorbask|Teboth Vaskosh|
2.5.2020|Gorbask|Luskost|Gorbask|Teboth Vaskosh|
""".replace("|", "\t")

SECOND_RECORDS = """
line,date,game,home,away,team,player,order,made
2,2020-05-02,2.5.2020 / Gorbask / Luskost,Gorbask,Luskost,Gorbask,Teboth Vaskosh,1,no
3,2020-05-02,2.5.2020 / Gorbask / Luskost,Gorbask,Luskost,Gorbask,Teboth Vaskosh,2,no
"""

LEAGUE = League(
    name="game key joined from day, home and visitor",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Gorb League", "season": "2019-20"},
    first=Week(
        file="crosses.tsv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=6,
        rejected={"unknown_word": 1, "missing": 1},
    ),
    second=Week(file="crosses 2.tsv", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace("visitor", "guest")),
    names=("visitor",),
)
