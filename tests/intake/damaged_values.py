"""Files whose shape is right and whose values are not, with what must come of them."""

from __future__ import annotations

from ledger.intake.options import ReadOptions, typed
from tests.intake.scenario import HEADER, Case, attempts, results, text_of, with_cell

ESC = "\x1b"


def _names() -> list[Case]:
    composed, decomposed = "Jörva Ëskil", "Jo\u0308rva E\u0308skil"
    unseen = [
        "Tarn Oselo",
        "Tarn\u00a0Oselo",
        "Tarn  Oselo",
        "Ta\u200brn Oselo",
        "\u202eTarn Oselo\u202c",
    ]
    acting = [f"Tarn {ESC}[31m", "Ta\x07rn", "Tarn\b\b", "\x9b31mTarn", f"{ESC}]0;x\x07Tarn"]
    odd = ["NULL", "N/A", "nan", "True", "1e5", "-", "0x1F", "[b]Tarn[/b]", "{{7*7}}", "'; --"]
    formulas = ["=1+1", "+1", "-2+3", "@SUM(1)", '=HYPERLINK("http://198.51.100.7")']
    wide = ["차무린", "マヴォ・オリ", "מבור אור", "مافور أور", "Μαβος", "O'Tarn, Jr."]
    twin = ["Tarn Oselo", "Т\u0430rn Oselo"]
    rows = attempts(30)
    plain = with_cell(rows, "player", ["Tarn Oselo"])
    long = with_cell(rows, "player", ["Tarn", "Vedil", "Q" * 201])
    cases = []
    for name, players in (("odd names", odd), ("formula names", formulas), ("wide names", wide)):
        written = with_cell(rows, "player", players)
        cases.append(Case(name, text_of(written).encode(), results(written)))
    return [
        *cases,
        Case(
            "two compositions",
            text_of(with_cell(rows, "player", [composed, decomposed])).encode(),
            results(with_cell(rows, "player", [composed])),
        ),
        Case("unseen letters", text_of(with_cell(rows, "player", unseen)).encode(), results(plain)),
        Case(
            "names that act",
            text_of(with_cell(rows, "player", acting)).encode(),
            [],
            {"control_character": 30},
        ),
        Case(
            "look-alike letters",
            text_of(with_cell(rows, "player", twin)).encode(),
            results(with_cell(rows, "player", twin)),
            says=("another script",),
        ),
        Case(
            "long names",
            text_of(long).encode(),
            [pair for at, pair in enumerate(results(long)) if at % 3 != 2],
            {"too_long": 10},
        ),
        Case(
            "nameless",
            text_of(with_cell(rows, "player", ["Tarn", "\u200b"])).encode(),
            [
                pair
                for at, pair in enumerate(results(with_cell(rows, "player", ["Tarn"])))
                if at % 2 == 0
            ],
            {"missing": 15},
        ),
    ]


def _results() -> list[Case]:
    rows = attempts(60)
    spelled = ["1", "0", "yes", "No", "TRUE", "false", "Made", "missed", "Y", "n", "t", "F"]
    good = [at % 2 == 0 for at in range(60)]
    players = [row[5] for row in rows]
    right = list(zip(players, good, strict=True))
    junk = [*spelled] * 5
    for at, word in ((3, "maybe"), (14, "11"), (25, "-1"), (36, "2"), (47, "1/0")):
        junk[at] = word
    few = [pair for at, pair in enumerate(right) if at not in (3, 14, 25, 36, 47)]
    foreign = with_cell(rows, "made", ["ja", "nein"])
    said = typed(words=["made:ja=yes", "made:nein=no"])
    counted = with_cell(rows, "made", ["0", "1", "4", "1", "0"])
    return [
        Case("many spellings", text_of(with_cell(rows, "made", spelled)).encode(), right),
        Case(
            "junk among words",
            text_of(with_cell(rows, "made", junk)).encode(),
            few,
            {"unknown_word": 5},
        ),
        Case(
            "foreign words",
            text_of(foreign).encode(),
            None,
            says=("ja, nein", "--word made:ja=yes"),
        ),
        Case("foreign words said", text_of(foreign).encode(), right, options=said),
        Case("counts", text_of(counted).encode(), None, says=("--as box",)),
        Case(
            "pairs",
            text_of(with_cell(rows, "made", ["7-9", "5/7", "0 of 2"])).encode(),
            None,
            says=("--as box",),
        ),
        Case(
            "percentages",
            text_of(with_cell(rows, "made", ["0.83", "76%", "0,80", "61"])).encode(),
            None,
            says=("percentages",),
        ),
        Case(
            "attempts beside made",
            text_of([(*row, "1") for row in rows], (*HEADER, "Attempted")).encode(),
            None,
            says=("--as box",),
        ),
        Case(
            "made by all",
            text_of(with_cell(rows, "made", ["1"])).encode(),
            results(with_cell(rows, "made", ["1"])),
            says=("all 60 attempts were made",),
        ),
    ]


def _dates() -> list[Case]:
    rows = attempts(40)
    good = results(rows)

    def dated(*values: str) -> bytes:
        return text_of(with_cell(rows, "date", values)).encode()

    sixth = [pair for at, pair in enumerate(good) if at % 4 != 3]
    return [
        Case(
            "many clear forms",
            dated("2023-11-04", "14.10.2023", "25 Dec 2023", "20231117", "2023/11/05"),
            good,
        ),
        Case(
            "zones",
            dated("2023-02-21T00:15:00+09:00", "2023-02-21 23:30", "2023-02-21T23:30:00Z"),
            good,
        ),
        Case("settled by one", dated("03/11/2023", "04/11/2023", "14/11/2023"), good),
        Case("same either way", dated("03/03/2023"), good),
        Case(
            "impossible",
            dated("2023-11-04", "2023-11-05", "2023-11-06", "2023-02-30"),
            sixth,
            {"bad_date": 10},
        ),
        Case("no order", dated("03/11/2023", "04/11/2023"), None, says=("--dates dmy",)),
        Case(
            "contradiction",
            dated("14/11/2023", "11/14/2023", "03/04/2023"),
            None,
            says=("contradict",),
        ),
        Case(
            "order said", dated("03/11/2023", "04/11/2023"), good, options=ReadOptions(dates="dmy")
        ),
        Case(
            "order said wrong",
            dated("03/11/2023", "04/11/2023", "05/11/2023", "14/11/2023"),
            sixth,
            {"bad_date": 10},
            options=ReadOptions(dates="mdy"),
        ),
        Case("short years", dated("03/11/23"), None, says=("two digits",)),
        Case("short years said", dated("03/11/23"), good, options=ReadOptions(dates="dmy")),
        Case("own form", dated("4_11_2023"), good, options=ReadOptions(dates="%d_%m_%Y")),
        Case("no dates", dated("soon", "45213"), None, says=("--dates",)),
        Case(
            "no such form",
            dated("2023-11-04"),
            None,
            says=("--dates nonsense",),
            options=ReadOptions(dates="nonsense"),
        ),
    ]


def _other_fields() -> list[Case]:
    rows = attempts(40)
    good = results(rows)
    techniques = ["under-hand", "?", "Direct", "bank", "off_the board", "hook", "", "cannot tell"]
    ids = ["0007", "1e5", "2024-01", "1/2", "True", "9223372036854775808", "NaN"]
    seasons = ["2023-24", "2023/24", "2023-2024", "23-24", "2023–24"]
    extra = (*HEADER, "period", "clock", "trip_shot", "shot")

    def with_extra(*values: tuple[str, ...]) -> bytes:
        return text_of(
            [(*row, *values[at % len(values)]) for at, row in enumerate(rows)], extra
        ).encode()

    half = [pair for at, pair in enumerate(good) if at % 2 == 0]
    fine = ("1", "5:38", "1", "ft")
    return [
        Case(
            "technique words",
            text_of(with_cell(rows, "technique", techniques)).encode(),
            good,
            says=("'hook'", "--word technique:hook"),
        ),
        Case("ids like numbers", text_of(with_cell(rows, "game", ids)).encode(), good),
        Case("season spellings", text_of(with_cell(rows, "season", seasons)).encode(), good),
        Case(
            "season of one year",
            text_of(with_cell(rows, "season", ["2023-24", "2024"])).encode(),
            good,
            says=("2024 and 2023-24",),
        ),
        Case(
            "no season",
            text_of(with_cell(rows, "season", ["2023-24", "last"])).encode(),
            half,
            {"bad_season": 20},
        ),
        Case("clock and trip", with_extra(fine, ("Q3", "47.3", "", "three")), good),
        Case("bad period", with_extra(fine, ("late", "5:38", "1", "")), half, {"bad_period": 20}),
        Case("bad clock", with_extra(fine, ("1", "5:78", "1", "")), half, {"bad_clock": 20}),
        Case("bad number", with_extra(fine, ("1", "", "one", "")), half, {"bad_number": 20}),
        Case("out of bounds", with_extra(fine, ("1", "", "12", "")), half, {"out_of_bounds": 20}),
        Case("unknown shot", with_extra(fine, ("1", "", "1", "dunk")), half, {"unknown_word": 20}),
        Case(
            "set beside a column",
            text_of(rows).encode(),
            None,
            says=("--set league",),
            options=typed(sets=["league=X"]),
        ),
        Case(
            "map to nowhere",
            text_of(rows).encode(),
            None,
            says=("did you mean player",),
            options=typed(["a=playr"]),
        ),
    ]


def cases() -> list[Case]:
    """All of them."""
    return [*_names(), *_results(), *_dates(), *_other_fields()]
