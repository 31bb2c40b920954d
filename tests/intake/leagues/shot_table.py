"""Shot table: every kind of shot with its place, the result as a plus or a minus.

Traps: signs are no numbers and no nulls; a coordinate of -0.5 is no sign; the place of a free
throw is blank; 1, 2 and 3 are points a shot is worth, not its count.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Quen League, shot table"
as = "attempts"
dates = "ymd"
order = "file"

[form]
separator = "semicolon"

[fits]
columns = ["Pts", "Res", "X", "Y"]

[constants]
league = "Quen League"
season = "2023-24"

[fields]
game = "Game"
date = "Date"
team = "Team"
player = "Player"
period = "Q"
shot = "Pts"
made = "Res"
x_m = "X"
y_m = "Y"
spot = "Zone"

[words.made]
"+" = "yes"
"-" = "no"

[words.shot]
"1" = "free_throw"
"2" = "two"
"3" = "three"
"""

FIRST = """
Game;Date;Team;Player;Q;Pts;Res;X;Y;Zone
Q1;2024-02-03;Quenung;Drunor Wurtax;1;2;+;-0,5;1,25;lane
Q1;2024-02-03;Quenung;Drunor Wurtax;1;1;-;;;
Q1;2024-02-03;Quenung;Drunor Wurtax;1;1;+;;;
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;3;-;6,7;-0,1;left corner
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;3;-;6,7;-0,1;left corner
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;4;+;0;7;
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;2;0;1;1;lane
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;2;\u2212;1;1;lane
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;2;+;99;1;lane
Q1;2024-02-03;Fennery;Yurbast Kelbosk;2;;+;;;
""".replace("\\u2212", "\u2212")

FIRST_RECORDS = """
line,game,date,team,player,period,order,shot,made,x_m,y_m,spot
2,Q1,2024-02-03,Quenung,Drunor Wurtax,1,1,two,yes,-0.5,1.25,lane
3,Q1,2024-02-03,Quenung,Drunor Wurtax,1,2,free_throw,no,,,
4,Q1,2024-02-03,Quenung,Drunor Wurtax,1,3,free_throw,yes,,,
5,Q1,2024-02-03,Fennery,Yurbast Kelbosk,2,4,three,no,6.7,-0.1,left corner
6,Q1,2024-02-03,Fennery,Yurbast Kelbosk,2,5,three,no,6.7,-0.1,left corner
8,Q1,2024-02-03,Fennery,Yurbast Kelbosk,2,6,two,no,1,1,lane
11,Q1,2024-02-03,Fennery,Yurbast Kelbosk,2,7,free_throw,yes,,,
"""

SECOND = """
Game;Date;Team;Player;Q;Pts;Res;X;Y;Zone
Q2;2024-02-10;Fennery;Yurbast Kelbosk;1;1;-;;;
Q2;2024-02-10;Fennery;Yurbast Kelbosk;1;1;-;;;
"""

SECOND_RECORDS = """
line,game,date,team,player,period,order,shot,made,x_m,y_m,spot
2,Q2,2024-02-10,Fennery,Yurbast Kelbosk,1,1,free_throw,no,,,
3,Q2,2024-02-10,Fennery,Yurbast Kelbosk,1,2,free_throw,no,,,
"""

LEAGUE = League(
    name="shot table with plus and minus",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Quen League", "season": "2023-24"},
    first=Week(
        file="shot table.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=7,
        rejected={"unknown_word": 2, "out_of_bounds": 1},
    ),
    second=Week(file="shot table 2.csv", data=text(SECOND), records=SECOND_RECORDS, stored=2),
    changed=text(SECOND.replace("Pts", "Worth")),
    names=("Pts",),
)
