"""Pipe-separated rows without a header: columns go by their place.

Traps: the first row is a record; ids keep their leading zeros; a row of another length; the
result is a digit.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Klym League, export"
as = "attempts"
dates = "ymd"
order = "file"

[form]
type = "text"
separator = "pipe"
header = 0

[fits]
columns = [1, 2, 3, 4, 5, 6, 7]

[[rows.keep]]
column = 6
is = ["FT"]

[constants]
league = "Klym League"
season = "2023-24"

[fields]
date = 1
game = 2
team = 3
player = 4
period = 5
made = 7
"""

FIRST = """
20240113|0007|Klymomer|Ilvast Brasketh|1|FT|1
20240113|0007|Klymomer|Ilvast Brasketh|1|FT|0
20240113|0007|Gorbery|Plonik Skorbax|2|2P|1
20240113|0007|Gorbery|Plonik Skorbax|2|FT|1
20240113|0007|Gorbery|Plonik Skorbax|2|FT|x
20240113|0007|Gorbery|Plonik Skorbax|2|FT
20240114|0008|Gorbery|Plonik Skorbax|4|ft|0
20240114|0008|Gorbery|"Plonik" Skorbax|4|FT|0
20240114|0008|Klymomer|Ilvast, Brasketh|OT|FT|1
"""

FIRST_RECORDS = """
line,game,date,team,player,period,order,made
1,0007,2024-01-13,Klymomer,Ilvast Brasketh,1,1,yes
2,0007,2024-01-13,Klymomer,Ilvast Brasketh,1,2,no
4,0007,2024-01-13,Gorbery,Plonik Skorbax,2,3,yes
7,0008,2024-01-14,Gorbery,Plonik Skorbax,4,1,no
9,0008,2024-01-14,Klymomer,"Ilvast, Brasketh",5,2,yes
"""

SECOND = """
20240120|0011|Gorbery|Plonik Skorbax|1|FT|1
20240120|0011|Klymomer|Ilvast Brasketh|1|3P|1
"""

SECOND_RECORDS = """
line,game,date,team,player,period,order,made
1,0011,2024-01-20,Gorbery,Plonik Skorbax,1,1,yes
"""

LEAGUE = League(
    name="no header, columns by place",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Klym League", "season": "2023-24"},
    first=Week(
        file="klym0113.txt",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"unknown_word": 1, "wrong_field_count": 1, "stray_quote": 1},
        skipped={"not_kept": 1},
    ),
    second=Week(
        file="klym0120.txt",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=1,
        skipped={"not_kept": 1},
    ),
    changed=text("""
20240120|0011|Gorbery|Plonik Skorbax|FT|1
20240120|0011|Klymomer|Ilvast Brasketh|3P|1
"""),
    names=("7",),
)
