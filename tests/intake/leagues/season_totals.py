"""Season totals of players, some of them traded.

Traps: a TOT row would count a traded player twice; percentages in five notations stand beside and
are never makes; a row whose makes and attempts are swapped; the header comes again on each page;
the season is in the file's name; a row of league totals at the end.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Orzl League, season totals"
as = "totals"

[form]
separator = "comma"

[fits]
columns = ["Player", "Tm", "FT", "FTA"]

[[rows.drop]]
column = "Tm"
is = ["TOT"]

[[rows.drop]]
column = "Player"
matches = '^League '

[constants]
league = "Orzl League"

[file_name]
pattern = 'totals (?P<season>\d{4}-\d\d)'

[fields]
player = "Player"
team = "Tm"
made = "FT"
attempts = "FTA"
"""

FIRST = """
Rk,Player,Tm,G,FT,FTA,FT%,P2,P3,P4,P5
1,Drunest Kelbarv,KLY,61,157,200,.785,78.5,78.5%,"0,785",785
2,Ephissel Morkett,TOT,70,120,160,.750,75.0,75.0%,"0,750",750
2,Ephissel Morkett,OSP,40,80,100,.800,80.0,80.0%,"0,800",800
2,Ephissel Morkett,ZEL,30,40,60,.667,66.7,66.7%,"0,667",667
Rk,Player,Tm,G,FT,FTA,FT%,P2,P3,P4,P5
3,Haskemar Tindolf,KLY,12,31,23,1.348,134.8,134.8%,"1,348",1348
4,Nolgin Wurtosh,OSP,3,0,0,,,,,
5,Jaffak Ulstonk,ZEL,9,1,1,1.000,100.0,100.0%,"1,000",1000
6,Brevemar Crax,ZEL,9,,,,,,,
,League totals,,,237,301,.787,78.7,78.7%,"0,787",787
"""

FIRST_RECORDS = """
line,team,player,made,attempts
2,KLY,Drunest Kelbarv,157,200
4,OSP,Ephissel Morkett,80,100
5,ZEL,Ephissel Morkett,40,60
8,OSP,Nolgin Wurtosh,0,0
9,ZEL,Jaffak Ulstonk,1,1
"""

SECOND = """
Rk,Player,Tm,G,FT,FTA,FT%,P2,P3,P4,P5
1,Drunest Kelbarv,OSP,58,101,131,.771,77.1,77.1%,"0,771",771
2,Jaffak Ulstonk,TOT,50,9,12,.750,75.0,75.0%,"0,750",750
2,Jaffak Ulstonk,ZEL,25,4,6,.667,66.7,66.7%,"0,667",667
2,Jaffak Ulstonk,KLY,25,5,6,.833,83.3,83.3%,"0,833",833
"""

SECOND_RECORDS = """
line,team,player,made,attempts
2,OSP,Drunest Kelbarv,101,131
4,ZEL,Jaffak Ulstonk,4,6
5,KLY,Jaffak Ulstonk,5,6
"""

LEAGUE = League(
    name="season totals with traded players",
    kind="totals",
    profile=PROFILE,
    everywhere={"league": "Orzl League", "shot": "free_throw"},
    first=Week(
        file="totals 2021-22.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=5,
        rejected={"made_above_attempts": 1},
        skipped={"dropped": 2, "repeated_header": 1, "not_in_table": 1},
    ),
    second=Week(
        file="totals 2022-23.csv",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=3,
        skipped={"dropped": 1},
    ),
    changed=text(SECOND.replace("FTA", "FT att.")),
    names=("FTA",),
)
