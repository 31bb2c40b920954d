"""Box score with the shirt number in front of an initial and a family name.

Traps: the number is not part of the name; team-mates with one family name are two; one number in
two teams is two players; a name without a number.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Tarv League, shirts"
as = "box"
dates = "ymd"

[form]
separator = "semicolon"

[fits]
columns = ["Jugador", "T1"]

[constants]
league = "Tarv League"
season = "2022-23"

[fields]
game = "No"
date = "Date"
team = "Team"
player = "Jugador"

[names.player]
number = "front"

[pair]
column = "T1"
pattern = '^(?P<made>\d+)/(?P<attempts>\d+)$'
"""

FIRST = """
No;Date;Team;Jugador;T1
T7;2023-01-14;Tarvask;12, K. Brasketh;3/4
T7;2023-01-14;Tarvask;4, O. Brasketh;1/2
T7;2023-01-14;Tarvask;0, U. Dranosk;2/2
T7;2023-01-14;Bramery;12, Z. Plintell;5/7
T7;2023-01-14;Bramery;#8 V. Quemarv;0/1
T7;2023-01-14;Bramery;00 J. Olbell;2/3
T7;2023-01-14;Bramery;T. Hruvell;1/1
T7;2023-01-14;Bramery;15, E. Skorbosh;3-4
"""

FIRST_RECORDS = """
line,game,date,team,player,made,attempts
2,T7,2023-01-14,Tarvask,K. Brasketh,3,4
3,T7,2023-01-14,Tarvask,O. Brasketh,1,2
4,T7,2023-01-14,Tarvask,U. Dranosk,2,2
5,T7,2023-01-14,Bramery,Z. Plintell,5,7
6,T7,2023-01-14,Bramery,V. Quemarv,0,1
7,T7,2023-01-14,Bramery,J. Olbell,2,3
8,T7,2023-01-14,Bramery,T. Hruvell,1,1
"""

SECOND = """
No;Date;Team;Jugador;T1
T9;2023-01-21;Bramery;12, Z. Plintell;1/4
T9;2023-01-21;Tarvask;4, O. Brasketh;
"""

SECOND_RECORDS = """
line,game,date,team,player,made,attempts
2,T9,2023-01-21,Bramery,Z. Plintell,1,4
"""

LEAGUE = League(
    name="shirt number, initial, family name",
    kind="box",
    profile=PROFILE,
    everywhere={"league": "Tarv League", "season": "2022-23"},
    first=Week(
        file="shirts.csv",
        data=text(FIRST),
        records=FIRST_RECORDS,
        stored=7,
        rejected={"bad_pair": 1},
        people="""
player,team,number,file_id
K. Brasketh,Tarvask,12,
O. Brasketh,Tarvask,4,
U. Dranosk,Tarvask,0,
Z. Plintell,Bramery,12,
V. Quemarv,Bramery,8,
J. Olbell,Bramery,00,
T. Hruvell,Bramery,,
""",
    ),
    second=Week(
        file="shirts 2.csv",
        data=text(SECOND),
        records=SECOND_RECORDS,
        stored=1,
        skipped={"not_in_table": 1},
    ),
    changed=text(SECOND.replace("T1", "TL")),
    names=("T1",),
)
