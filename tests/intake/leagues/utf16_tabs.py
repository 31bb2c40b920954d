"""Tab-separated file in UTF-16, as a spreadsheet saves "Unicode text".

Traps: letters of four scripts, in the header too; tenths in the clock; quotes are letters where the
profile says so; a word nobody explained.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Lumo League, unicode text"
as = "attempts"
dates = "dmy"
order = "clock"

[form]
type = "text"
separator = "tab"
quote = "none"

[fits]
columns = ["\u041c\u0430\u0442\u0447", "Player", "Res"]

[constants]
league = "Lumo League"
season = "2019-20"

[fields]
game = "\u041c\u0430\u0442\u0447"
date = "Day"
team = "Team"
player = "Player"
period = "Q"
clock = "Clock"
made = "Res"
"""

FIRST = """
Матч|Day|Team|Player|Q|Clock|Res
1/19|23.11.2019|Ζιλοβη|Μαβος Ορρυ|1|0:59.9|GOOD
1/19|23.11.2019|Ζιλοβη|Μαβος Ορρυ|1|0:59.8|MISS
1/19|23.11.2019|Хувольд|"Дрен" Оску|1|10:00|GOOD
1/19|23.11.2019|Хувольд|차무린|2|4:00|NO GOOD
1/19|23.11.2019|Хувольд|차무린|2|4:00|?
1/19|23.11.2019|Хувольд||2|4:00|GOOD
2/19|24.11.2019|Хувольд|Đräñ Ølškø|4|0:00.1|MAKE
"""

FIRST_RECORDS = '''
line,game,date,team,player,period,clock,order,made
2,1/19,2019-11-23,Ζιλοβη,Μαβος Ορρυ,1,59.9,2,yes
3,1/19,2019-11-23,Ζιλοβη,Μαβος Ορρυ,1,59.8,3,no
4,1/19,2019-11-23,Хувольд,"""Дрен"" Оску",1,600,1,yes
5,1/19,2019-11-23,Хувольд,차무린,2,240,4,no
8,2/19,2019-11-24,Хувольд,Đräñ Ølškø,4,0.1,1,yes
'''

SECOND = """
Матч|Day|Team|Player|Q|Clock|Res
5/19|01.12.2019|Ζιλοβη|Μαβος Ορρυ|3|1:00|MISS
5/19|01.12.2019|Ζιλοβη|Μαβος Ορρυ|3|1:01|GOOD
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made
2,5/19,2019-12-01,Ζιλοβη,Μαβος Ορρυ,3,60,2,no
3,5/19,2019-12-01,Ζιλοβη,Μαβος Ορρυ,3,61,1,yes
"""


def tabbed(lines: str) -> bytes:
    """UTF-16 with a mark, tabs and CRLF."""
    return text(lines.replace("|", "\t"), "utf-16", "\r\n")


LEAGUE = League(
    name="UTF-16 with tabs",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Lumo League", "season": "2019-20"},
    first=Week(
        file="shots.txt",
        data=tabbed(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"unknown_word": 1, "missing": 1},
    ),
    second=Week(file="shots 2.txt", data=tabbed(SECOND), records=SECOND_RECORDS, stored=2),
    changed=tabbed(SECOND.replace("Матч", "Игра")),
    names=("Матч",),
)
