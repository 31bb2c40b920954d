"""Rows quoted throughout, with quotes, separators and line ends inside quotes.

Traps: a doubled quote in a name, a comma in a team, a remark over two lines (the line numbers of
the rows after it move on), a remark that reads like a row of its own, a quote that is never closed.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Ymb League, shots"
as = "attempts"
dates = "ymd"
order = "file"

[form]
type = "text"
separator = "comma"
quote = '"'
escape = "doubled"

[fits]
columns = ["Who", "Result", "Remark"]

[constants]
league = "Ymb League"
season = "2020-21"

[fields]
game = "Game"
date = "Day"
team = "Side"
player = "Who"
made = "Result"
note = "Remark"

[words.made]
"in" = "yes"
"out" = "no"
"""

FIRST = '''
"Game","Day","Side","Who","Result","Remark"
"Y,1","2021-01-16","Ymbery, North","Tebado ""Bim"" Quemett","in",""
"Y,1","2021-01-16","Ymbery, North","Tebado ""Bim"" Quemett","out","short,
to the left"
"Y,1","2021-01-16","Pant ""A""","Zefak Hruvoldi","out","""Y,1"",""2021-01-16"""
Y2,2021-01-17,Pantholt,"Zefak Hruvoldi",in,

"Y2","2021-01-17","Pantholt","Obrin Fospax","in","said ""yes"", twice"
"Y2","2021-01-17","Pantholt","Obrin Fospax","perhaps",""
"Y2","2021-01-17","Pantholt","Obrin "Tall" Fospax","in",""
"Y2","2021-01-17","Pantholt","Obrin Fospax","out","never closed
'''

FIRST_RECORDS = '''
line,game,date,team,player,order,made
2,"Y,1",2021-01-16,"Ymbery, North","Tebado ""Bim"" Quemett",1,yes
3,"Y,1",2021-01-16,"Ymbery, North","Tebado ""Bim"" Quemett",2,no
5,"Y,1",2021-01-16,"Pant ""A""",Zefak Hruvoldi,3,no
6,Y2,2021-01-17,Pantholt,Zefak Hruvoldi,1,yes
8,Y2,2021-01-17,Pantholt,Obrin Fospax,2,yes
'''

SECOND = '''
"Game","Day","Side","Who","Result","Remark"
"Y9","2021-02-06","Ymbery, North","Tebado ""Bim"" Quemett","out","one
two
three"
"Y9","2021-02-06","Pantholt","Obrin Fospax","in","""quoted"""
'''

SECOND_RECORDS = """
line,game,date,team,player,order,made
2,Y9,2021-02-06,"Ymbery, North","Tebado ""Bim"" Quemett",1,no
5,Y9,2021-02-06,Pantholt,Obrin Fospax,2,yes
"""

LEAGUE = League(
    name="quotes inside quotes",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Ymb League", "season": "2020-21"},
    first=Week(
        file="shots.csv",
        data=text(FIRST, newline="\r\n"),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"unknown_word": 1, "stray_quote": 1, "unclosed_quote": 1},
    ),
    second=Week(file="shots 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace('"Who"', '"Player name"')),
    names=("Who",),
)
