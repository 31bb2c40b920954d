"""Files damaged in their bytes, encoding and shape, with what must come of them."""

from __future__ import annotations

import csv
import gzip
import io
import random
import zipfile

from ledger.intake.options import ReadOptions, typed
from tests.intake.scenario import (
    HEADER,
    Case,
    attempts,
    joined,
    lines_of,
    results,
    text_of,
    with_cell,
)

LATIN = ("Jörva Ëskil", "Tårn Øselo", "Ñevo Kâmar")
HANGUL = ("차무린", "도하빈")
GREEK = ("Μαβος Ορρυ", "Λουκας Νιβ")


def _sane() -> list[Case]:
    rows = attempts(40)
    good = results(rows)
    text = text_of(rows)
    lines = text.splitlines()
    tails = ["\n", "\r\n", "\r"]
    mixed = "".join(line + tails[at % 3] for at, line in enumerate(lines))
    padded = [tuple(f"  {cell}\u00a0 " for cell in row) for row in rows]
    longer = [(*row, "9,462") for row in rows]
    return [
        Case("plain", text.encode(), good),
        Case("mark and CRLF", b"\xef\xbb\xbf" + text_of(rows, newline="\r\n").encode(), good),
        Case("semicolons", text_of(rows, separator=";").encode(), good),
        Case("tabs", text_of(rows, separator="\t").encode(), good),
        Case("pipes", text_of(rows, separator="|").encode(), good),
        Case("sep line", b"sep=;\r\n" + text_of(rows, separator=";").encode(), good),
        Case("CR only", text_of(rows, newline="\r").encode(), good),
        Case("mixed newlines", mixed.encode(), good),
        Case("all quoted", text_of(rows, quoting=csv.QUOTE_ALL).encode(), good),
        Case("no final newline", text.rstrip("\n").encode(), good),
        Case("padded", text_of(padded).encode(), good),
        Case("quoted thousands", text_of(longer, (*HEADER, "crowd")).encode(), good),
        Case("old end mark", text.encode() + b"\x1a", good),
        Case("other order", text_of([r[::-1] for r in rows], HEADER[::-1]).encode(), good),
        Case(
            "header in other writing",
            text_of(
                rows, (" League", "SEASON ", "Date", "G-ame", "te_am", "Player\u00a0", "MADE", "x")
            ).encode(),
            good,
        ),
        Case("equal rows", text_of([rows[0]] * 30).encode(), results([rows[0]] * 30)),
        Case("header only", (",".join(HEADER) + "\n").encode(), []),
        Case("gzip", gzip.compress(text.encode(), mtime=0), good),
        Case(
            "gzip of two parts",
            gzip.compress("\n".join(lines[:11]).encode() + b"\n")
            + gzip.compress(joined(lines[11:])),
            good,
        ),
    ]


def _encodings() -> list[Case]:
    latin, hangul, greek = (attempts(30, players=p) for p in (LATIN, HANGUL, GREEK))
    cases = [
        Case("UTF-16 little", text_of(latin).encode("utf-16"), results(latin)),
        Case("UTF-16 big", b"\xfe\xff" + text_of(latin).encode("utf-16-be"), results(latin)),
        Case("UTF-32", text_of(latin).encode("utf-32"), results(latin)),
        Case("UTF-16 cut", text_of(latin).encode("utf-16")[:-1], None, says=("damaged",)),
        Case(
            "UTF-16 unmarked",
            text_of(latin).encode("utf-16-le"),
            None,
            says=("--encoding utf-16-le",),
        ),
    ]
    for rows, codec in ((latin, "cp1252"), (hangul, "cp949"), (greek, "cp1253")):
        data = text_of(rows).encode(codec)
        cases += [
            Case(f"{codec} unnamed", data, None, says=("--encoding",)),
            Case(f"{codec} named", data, results(rows), options=ReadOptions(encoding=codec)),
        ]
    few = attempts(98) + with_cell(attempts(2), "player", ["Jörva Ëskil"])
    cases.append(Case("one name of an old encoding", text_of(few).encode("cp1252"), None))
    rows = attempts(60)
    lines = [line.encode() for line in lines_of(rows)]
    for at in (9, 21, 40):
        lines[at] = lines[at].replace(b"Halma", b"Hal\xe9\xff" + str(at).encode())
    kept = [row for at, row in enumerate(rows, 1) if at not in (9, 21, 40)]
    cases.append(
        Case("stray bytes", b"\n".join(lines), results(kept), rejected={"bad_encoding": 3})
    )
    nul = [
        line.replace("o", "o\0", 1) if at in (5, 6) else line
        for at, line in enumerate(lines_of(rows))
    ]
    kept = [row for at, row in enumerate(rows, 1) if at not in (5, 6)]
    cases.append(Case("NUL bytes", joined(nul), results(kept), rejected={"control_character": 2}))
    broken = [name.encode().decode("cp1252") for name in ("Jörva", "Çeno")]
    twice = with_cell(attempts(30), "player", broken)
    cases.append(
        Case("read wrong and saved", text_of(twice).encode(), results(twice), says=("Jörva",))
    )
    return cases


def _quotes() -> list[Case]:
    rows = attempts(40)
    lines = lines_of(rows)
    without = [row for at, row in enumerate(rows, 1) if at != 12]
    player = rows[11][5]
    unclosed = [*lines]
    unclosed[12] = unclosed[12].replace(player, f'"{player}')
    twice = [*unclosed]
    twice[30] = twice[30].replace(rows[29][5], f'"{rows[29][5]}, Jr."')
    jr = results(without)
    jr[jr.index(results(rows)[29], 28)] = (f"{rows[29][5]}, Jr.", rows[29][6] == "1")
    swallow = [*unclosed]
    swallow[15] = swallow[15].replace(rows[14][5], f'{rows[14][5]}"')
    outside = [row for at, row in enumerate(rows, 1) if not 12 <= at <= 15]
    escaped = [*lines]
    escaped[12] = escaped[12].replace(player, '"Big \\"Z\\" Otto"')
    inner = [*lines]
    inner[12] = inner[12].replace(player, 'Big "Z" Otto')
    noted = [
        (*row, 'one\ntwo, three\nand "four"' if at % 9 == 0 else "") for at, row in enumerate(rows)
    ]
    named = with_cell(rows, "league", ["Halma\nLeague"])
    last = [*lines]
    last[-1] = last[-1].replace(rows[-1][5], f'"{rows[-1][5]}')
    pasted = [*(f"{line}," for line in lines[:3]), lines[3] + ',"see', lines[4] + ",", 'above"']
    pasted[0] = lines[0] + ",note"
    return [
        Case("unclosed quote", joined(unclosed), results(without), {"unclosed_quote": 1}),
        Case("unclosed, later a good one", joined(twice), jr, {"unclosed_quote": 1}),
        Case(
            "quote that swallows rows", joined(swallow), results(outside), {"ambiguous_quotes": 4}
        ),
        Case("backslash before quotes", joined(escaped), results(without), {"stray_quote": 1}),
        Case("quotes inside a name", joined(inner), results(without), {"stray_quote": 1}),
        Case("notes of several lines", text_of(noted, (*HEADER, "note")).encode(), results(rows)),
        Case("league of two lines", text_of(named).encode(), results(rows)),
        Case("unclosed in the last row", joined(last)[:-1], results(rows[:-1]), {"cut_row": 1}),
        Case("a row inside a note", joined(pasted), results(rows[:2]), {"ambiguous_quotes": 3}),
    ]


def _shapes() -> list[Case]:
    rows = attempts(40)
    good = results(rows)
    lines = lines_of(rows)
    ragged = [*lines]
    ragged[7] = ",".join(rows[6][:5])
    ragged[20] = lines[20].replace(rows[19][5], f"{rows[19][5]},more")
    kept = [row for at, row in enumerate(rows) if at not in (6, 19)]
    repeated = [*lines[:15], lines[0], *lines[15:30], lines[0].upper(), *lines[30:]]
    sums = [
        *lines,
        "Total,,,,,,30,",
        "Average,,,,,,0.75,",
        ",,,,,,,",
        "* counted after review,,,,,,,",
        "Total,31",
    ]
    skipped = {"totals_row": 3, "blank_row": 1, "footnote": 1}
    titled = ["Halma League - free throws", "Made by the club,,,", "", *lines]
    blanks = ["", *lines[:9], "", "   ", ",,,,,,,", *lines[9:], "", ""]
    rows_above = [lines[1], lines[2], lines[0], *lines[3:]]
    total_named = with_cell(attempts(6), "player", ["Total"])
    doubled = [(*row, row[5]) for row in rows]
    wide = [*HEADER, *(f"x{at}" for at in range(1200))]
    by_number = typed([f"{at}={name}" for at, name in enumerate(HEADER, 1)])
    own = ("Liga", "Saison", "Tag", "Spiel", "Mannschaft", "Spieler", "Treffer", "Art")
    mapped = typed([f"{mine}={name}" for mine, name in zip(own, HEADER, strict=True)])
    bare = [row[1:] for row in rows]
    return [
        Case("ragged rows", joined(ragged), results(kept), {"wrong_field_count": 2}),
        Case("header again", joined(repeated), good, skipped={"repeated_header": 2}),
        Case("sums below", joined(sums), good, skipped=skipped),
        Case("titles above", joined(titled), good, says=("lines 1, 2 above",)),
        Case("blank lines", joined(blanks), good, skipped={"blank_row": 1}),
        Case("rows above the header", joined(rows_above), results(rows[2:]), {"above_header": 2}),
        Case("cut download", joined(lines)[:-25], results(rows[:-1]), {"cut_row": 1}),
        Case(
            "player called Total",
            text_of(total_named).encode(),
            results(total_named),
            says=("Total",),
        ),
        Case(
            "two player columns",
            text_of(doubled, (*HEADER, "Player")).encode(),
            None,
            says=("--map 6=player",),
        ),
        Case(
            "two player columns, one chosen",
            text_of(doubled, (*HEADER, "Player")).encode(),
            good,
            options=typed(["9=player"]),
        ),
        Case("too many columns", text_of([], wide).encode(), None, says=("1208 columns",)),
        Case("no header", joined(lines[1:]), None, says=("--map 1=league",)),
        Case("no header, numbered", joined(lines[1:]), good, options=by_number),
        Case("foreign header", text_of(rows, own).encode(), None, says=("Liga, Saison", "--map")),
        Case("foreign header, mapped", text_of(rows, own).encode(), good, options=mapped),
        Case("no league", text_of(bare, HEADER[1:]).encode(), None, says=("league", "--set")),
        Case(
            "no league, set",
            text_of(bare, HEADER[1:]).encode(),
            good,
            options=typed(sets=["league=Halma League"]),
        ),
        Case(
            "no made", text_of([row[:6] for row in rows], HEADER[:6]).encode(), None, says=("made",)
        ),
        Case("only newlines", b"\n\r\n\n", None, says=("no header",)),
        Case("empty", b"", None, says=("empty",)),
        Case("long line", joined([*lines, "x" * (2**20 + 1)]), good, {"too_long": 1}),
    ]


def _other_kinds() -> list[Case]:
    packed = gzip.compress(text_of(attempts(40)).encode(), mtime=0)
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w") as file:
        file.writestr("a.csv", text_of(attempts(3)))
    book = io.BytesIO()
    with zipfile.ZipFile(book, "w") as file:
        file.writestr("xl/workbook.xml", "<workbook/>")
    bomb = gzip.compress((",".join(HEADER) + "\n" + "A" * 20_000_000).encode(), mtime=0)
    noise = random.Random(3).randbytes(20_000)
    return [
        Case("web page", b"<!DOCTYPE html><html>player,made</html>", None, says=("web page",)),
        Case("zip", archive.getvalue(), None, says=("zip archive",)),
        Case("workbook", book.getvalue(), None, says=("damaged workbook",)),
        Case("PDF", b"%PDF-1.7\n" + b"made" * 50, None, says=("PDF",)),
        Case("database", b"\0" * 8 + b"DUCK" + b"\0" * 99, None, says=("database",)),
        Case("noise", noise, None, says=("not text",)),
        Case("cut gzip", packed[: len(packed) // 2], None, says=("damaged",)),
        Case("damaged gzip", packed[:60] + b"zzzz" + packed[64:], None, says=("damaged",)),
        Case("bomb", bomb, None, says=("inflates",)),
        Case("XML", b"<?xml version='1.0'?><a/>", None, says=("XML",)),
        Case("one object a line", b'{"player": "Tarn", "made": 1}\n' * 9, None, says=("--map",)),
    ]


def cases() -> list[Case]:
    """All of them."""
    return [*_sane(), *_encodings(), *_quotes(), *_shapes(), *_other_kinds()]
