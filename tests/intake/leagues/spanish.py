# ruff: noqa: E501  rows of a file are as long as they are
"""Event log in another language and an older encoding.

Traps: "2 de 2" is the trip; accents in the header; words of the result in capitals; a shot of
another kind with the same word.
"""

from __future__ import annotations

from tests.intake.leagues.case import League, Week, text

PROFILE = r"""
profile = 1
name = "Liga Zell, jugadas"
as = "attempts"
dates = "dmy"
order = "file"

[form]
type = "text"
encoding = "cp1252"
separator = "semicolon"

[fits]
columns = ["Partido", "Acci\u00f3n", "Equipo"]

[constants]
league = "Liga Zell"
season = "2020-21"

[fields]
game = "Partido"
date = "Fecha"
team = "Equipo"
period = "Cuarto"
clock = "Reloj"

[[texts]]
column = "Acci\u00f3n"
pattern = '^Tiros Libres (?P<trip_shot>\d) de (?P<trip_of>\d) (?P<made>ANOTADO|FALLADO) - (?P<player>.+)$'

[[texts]]
column = "Acci\u00f3n"
pattern = '^Tiro Libre (?P<trip_kind>T\u00e9cnico) (?P<made>ANOTADO|FALLADO) - (?P<player>.+)$'

[words.made]
"ANOTADO" = "yes"
"FALLADO" = "no"

[words.trip_kind]
"T\u00e9cnico" = "technical"
"""

FIRST = """
Partido;Fecha;Equipo;Cuarto;Reloj;Acción
14;06/02/2021;Zellost;1;9:30;Tiros Libres 1 de 2 ANOTADO - Ñorvel
14;06/02/2021;Zellost;1;9:30;Tiros Libres 2 de 2 FALLADO - Ñorvel
14;06/02/2021;Murdask;1;9:28;Rebote defensivo - Güemar
14;06/02/2021;Murdask;2;3:02;Tiro de 2 ANOTADO - Güemar
14;06/02/2021;Murdask;2;2:58;Tiro Libre Técnico FALLADO - Güemar
14;06/02/2021;Murdask;3;0:00;Tiros Libres 1 de 1 ANOTADO - Güemar
14;06/02/2021;Murdask;4;0:03;Tiros Libres 3 de 3 anotado - Güemar
14;30/02/2021;Murdask;4;0:03;Tiros Libres 3 de 3 ANOTADO - Güemar
"""

FIRST_RECORDS = """
line,game,date,team,player,period,clock,order,made,trip_shot,trip_of,trip_kind
2,14,2021-02-06,Zellost,Ñorvel,1,570,1,yes,1,2,
3,14,2021-02-06,Zellost,Ñorvel,1,570,2,no,2,2,
6,14,2021-02-06,Murdask,Güemar,2,178,3,no,,,technical
7,14,2021-02-06,Murdask,Güemar,3,0,4,yes,1,1,
"""

SECOND = """
Partido;Fecha;Equipo;Cuarto;Reloj;Acción
20;13/02/2021;Murdask;1;5:00;Tiros Libres 1 de 1 FALLADO - Güemar
"""

SECOND_RECORDS = """
line,game,date,team,player,period,clock,order,made,trip_shot,trip_of,trip_kind
2,20,2021-02-13,Murdask,Güemar,1,300,1,no,1,1,
"""

LEAGUE = League(
    name="event text in another language",
    kind="attempts",
    profile=PROFILE,
    everywhere={"league": "Liga Zell", "season": "2020-21"},
    first=Week(
        file="jugadas.csv",
        data=text(FIRST, "cp1252"),
        records=FIRST_RECORDS,
        stored=4,
        rejected={"bad_date": 1},
        skipped={"no_match": 3},
    ),
    second=Week(
        file="jugadas 2.csv", data=text(SECOND, "cp1252"), records=SECOND_RECORDS, stored=1
    ),
    changed=text(SECOND.replace("Acción", "Jugada"), "cp1252"),
    names=("Acción",),
)
