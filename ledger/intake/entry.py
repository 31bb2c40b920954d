"""Records typed by hand: read by the same rules as files, each call a source of its own."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger import resources
from ledger.errors import UseError
from ledger.intake import findings, mapping
from ledger.intake.amend import fix_of
from ledger.intake.bring import duplicate, shots_of, words_of
from ledger.intake.options import ReadOptions, with_typed_words
from ledger.intake.read import Reading, read_rows, read_snapshot
from ledger.intake.report import Report
from ledger.intake.snapshot import Snapshot
from ledger.intake.words import Words
from ledger.store import commit as store
from ledger.store import sitting
from ledger.store.batch import Batch, Seen
from ledger.store.commit import by_line
from ledger.store.rederive import BY_HAND

if TYPE_CHECKING:
    from ledger.store.ledger_file import LedgerFile

NAME = "typed in"
# What all attempts of one visit to the line share; anything else may differ from throw to throw.
_OF_VISIT = (
    *("league", "season", "date", "game", "home", "away", "stage", "team", "opponent", "player"),
    *("number", "player_id", "period", "clock", "shot", "trip_kind"),
)
# Said once for a visit, these are told of its last throw: the others end nothing.
_OF_LAST = ("rebound_by", "ended_by")
_ONE = {"attempts": "an attempt", "tags": "a tag"}


@dataclass(frozen=True, slots=True)
class Entered:
    """What typed records came to.

    Attributes:
        report: every record accounted for, as of a file.
        attempts: the ledger's numbers of the attempts, in the order typed.
        outcomes: what became of each: stored, already_there or contradicting.
    """

    report: Report
    attempts: tuple[int, ...]
    outcomes: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """The report as of a file, with the numbers of the attempts."""
        return {**self.report.as_dict(), "attempts": list(self.attempts)}

    def words(self) -> str:
        """What was done, in a line, then a line a note."""
        report = self.report
        what = "tag of attempt" if report.kind == "tags" else "attempt"
        numbers = ", ".join(map(str, self.attempts))
        said = f"{what}{'s' if len(self.attempts) > 1 else ''} {numbers}"
        there = [n for n, o in zip(self.attempts, self.outcomes, strict=True) if o != "stored"]
        if len(there) == len(self.attempts):
            line = f"{said} there already: nothing added"
            if report.kind == "attempts":
                line += "; if another one is meant, give its place in the game: order=N"
        elif there:
            line = f"{said} stored, of them there already: {', '.join(map(str, there))}"
        else:
            line = f"{said} stored"
        line += f"; to take it back: offglass undo {report.source}"
        return "\n".join([line, *(f"note: {w}" for w in report.warnings)])


def enter(
    ledger: LedgerFile,
    kind: str,
    rows: Sequence[Mapping[str, str]],
    options: ReadOptions | None = None,
    *,
    attempt: int | None = None,
    what: str | None = None,
) -> Entered:
    """Store typed records, all or none.

    Args:
        ledger: the ledger.
        kind: `attempts` or `tags`.
        rows: field to value as typed, a mapping a record.
        options: what was typed beside the records.
        attempt: the ledger's number of the attempt that a tag is of.
        what: what it is, for the list of sources; said of the records unless given.

    Raises:
        UseError: naming the field that is missing, unknown or cannot be; nothing is stored then.
    """
    rows = [_by_field(kind, row) for row in rows]
    _complete(kind, rows, attempt)
    if attempt is not None:
        rows = [{**row, "attempt": str(attempt)} for row in rows]
    words, chosen = words_of(ledger), options or ReadOptions()
    _one_result(rows, with_typed_words(words, resources.schema(kind), chosen))
    chosen = replace(chosen, dates=chosen.dates or "ymd")
    reading = read_rows(rows, kind, chosen, words, NAME)
    if len(reading.rejects):
        raise refusal(kind, reading.rejects.row(0, named=True))
    if len(reading.skipped):
        raise UseError(f"{_ONE[kind]} has to say something: FIELD=VALUE")
    called = what or _called(kind, rows[0], len(rows), attempt)
    return _store(ledger, reading, reading.frame, called, strict=True)


def enter_lines(
    ledger: LedgerFile,
    kind: str,
    data: bytes,
    options: ReadOptions | None = None,
    *,
    what: str = NAME,
) -> Entered:
    """Store rows typed or piped as CSV with a header, told of as a file would be.

    Args:
        ledger: the ledger.
        kind: what a row is, as of `offglass import`.
        data: the rows as bytes.
        options: what was typed beside the rows.
        what: what it is, for the list of sources.

    Returns:
        What they came to; attempts or tags that came in this way before add nothing, for a pipe
        that runs twice must not count every attempt twice.

    Raises:
        UseError: if an option cannot be used.
        RefusedInput: if the rows are refused whole.
    """
    taken = Snapshot(NAME, data, hashlib.sha256(data).hexdigest(), len(data), "plain")
    reading = read_snapshot(taken, kind, options, words_of(ledger))
    return _store(ledger, reading, reading.frame, what, strict=False)


def trip_rows(made: str, fields: Mapping[str, str]) -> list[dict[str, str]]:
    """One visit to the line as records: a result each, the trip filled in.

    A value with as many parts between commas as there are results is one for each; the rebound and
    what ended the visit, said once, are those of the last.

    Args:
        made: the results in order, such as `yes,no`.
        fields: field to value, of all or one for each.

    Raises:
        UseError: without a result, for more than nine, or if the trip was numbered by hand.
    """
    results = [part.strip() for part in made.split(",")]
    if not all(results) or len(results) > 9:
        raise UseError("a trip needs its results in order, at most nine: made=yes,no")
    by_field = _by_field("attempts", fields)
    numbered = [n for n in ("trip_shot", "trip_of") if n in by_field]
    if numbered:
        raise UseError(f"{numbered[0]}: a trip is numbered by its results; leave it out")
    rows: list[dict[str, str]] = []
    for at, result in enumerate(results):
        row = {"made": result, "trip_shot": str(at + 1), "trip_of": str(len(results))}
        for name, value in by_field.items():
            said = _of_throw(name, value, at, len(results))
            if said is not None:
                row[name] = said
        rows.append(row)
    return rows


def _of_throw(name: str, value: str, at: int, of: int) -> str | None:
    parts = [part.strip() for part in value.split(",")]
    if name not in _OF_VISIT and of > 1 and len(parts) == of:
        return parts[at]
    if name in _OF_LAST and at < of - 1:
        return None
    if name == "order" and value.strip().isdecimal():
        return str(int(value) + at)
    if name == "attempt_id" and of > 1:
        raise UseError(f"attempt_id: a trip of {of} needs {of} ids between commas")
    return value


def _called(kind: str, row: Mapping[str, str], many: int, attempt: int | None) -> str:
    """What a list of sources says of typed records."""
    if attempt is not None:
        return f"tag of attempt {attempt}"
    parts = [row.get(name, "").strip() for name in ("player", "date", "game")]
    named = row.get("attempt_id", "") or row.get("attempt", "")
    about = ", ".join(findings.show(part) for part in parts if part) or named
    one = "tag" if kind == "tags" else "attempt"
    return f"{many} {one}{'' if many == 1 else 's'}: {findings.show(about)}"


def _by_field(kind: str, row: Mapping[str, str]) -> dict[str, str]:
    """The row by the schema's names of its fields."""
    schema = resources.schema(kind)
    known = mapping.known_headers(schema, ())
    found: dict[str, str] = {}
    for name, value in row.items():
        field = known.get(mapping.header_form(name))
        if field is None:
            mapping.known_field(name, schema, findings.show(name))
            continue
        if field in found:
            raise UseError(f"{field} is given twice: leave one out")
        found[field] = value
    return found


def _complete(kind: str, rows: Sequence[Mapping[str, str]], attempt: int | None) -> None:
    if kind == "tags":
        key = [n for n in mapping.TAG_KEY if not any(row.get(n, "").strip() for row in rows)]
        given = any(row.get(n, "").strip() for row in rows for n in ("attempt_id", "attempt"))
        if attempt is None and not given and key:
            needs = "a tag needs its attempt: its number, or " + ", ".join(mapping.TAG_KEY)
            raise UseError(f"{needs}; missing: {', '.join(key)}")
        return
    needed = mapping.required_names(resources.schema(kind))
    missing = [n for n in needed if not all(row.get(n, "").strip() for row in rows)]
    if missing:
        raise UseError(
            f"{_ONE[kind]} needs {', '.join(needed)}; missing: {', '.join(missing)}: "
            f"add {missing[0]}=VALUE"
        )


def _one_result(rows: Sequence[Mapping[str, str]], words: Words) -> None:
    """Stop at a result that is none: in a file it would tell of the whole column."""
    for row in rows:
        made = row.get("made")
        if made is not None and words.look("made", made) is None:
            raise UseError(f"made={findings.show(made)}: it may be yes, no")


def refusal(kind: str, row: Mapping[str, Any]) -> UseError:
    """What is wrong with a typed record that was refused: its field, value and what may stand."""
    schema = resources.schema(kind)
    named = str(row["column"] or "")
    field = next((f for f in schema["fields"] if f["name"] == named), None)
    mended = str(row["fix"] or "")
    if field is not None and row["reason"] in ("unknown_word", "out_of_bounds"):
        mended = fix_of(str(row["reason"]), field)
    value = findings.show(str(row["value"] or ""))
    return UseError(f"{named}={value}: {mended}")


def _store(
    ledger: LedgerFile, reading: Reading, frame: pl.DataFrame, what: str, *, strict: bool
) -> Entered:
    if reading.kind not in sitting.KINDS:
        return _commit(ledger, reading, what)
    piped = None if strict else reading.content_hash
    if piped is not None and reading.frame.height:
        with ledger.reading() as con:
            before = store.same_file(con, BY_HAND[0], None, piped)
        if before is not None:
            return Entered(_piped_before(reading, before), (), ())
    with ledger.changing("offglass add") as con:
        source = sitting.begin(con, ledger, what, content_hash=piped)
        taken = sitting.take(
            con, ledger, source, reading.kind, frame, rejects=reading.rejects,
            skipped=len(reading.skipped), warnings=reading.warnings, tagger=reading.tagger,
        )  # fmt: skip
        if strict:
            all_taken(reading.kind, taken)
        shots = shots_of(con, source, reading)
    lines = by_line(taken.lines)
    counts = dict(lines["outcome"].value_counts().iter_rows())
    reasons = taken.refused["reason"].value_counts().sort(["count", "reason"])
    against = lines.filter(pl.col("outcome") == "contradicting")["line"].sort().to_list()
    report = Report(
        source=source,
        file=what,
        sha256=reading.sha256,
        kind=reading.kind,
        rows=len(lines) + len(taken.refused) + taken.skipped,
        stored=counts.get("stored", 0),
        rejected=len(taken.refused),
        skipped=taken.skipped,
        already_there=counts.get("already_there", 0),
        contradicting=counts.get("contradicting", 0),
        attempts_stored=taken.attempts_stored,
        tags_stored=taken.tags_stored,
        fields_filled=taken.fields_filled,
        reasons=dict(reasons.iter_rows()),
        new=taken.new,
        mapping=reading.mapping,
        warnings=taken.notes,
        contradicting_lines=tuple(against),
        shots=shots,
    )
    return Entered(report, tuple(taken.lines["attempt_id"]), tuple(taken.lines["outcome"]))


def _piped_before(reading: Reading, before: Seen) -> Report:
    said = (
        "; if they are further attempts, give each its order, or take the earlier ones back: "
        f"offglass undo {before.source_id}"
    )
    report = duplicate(reading, before)
    return replace(report, warnings=(report.warnings[0] + said,))


def all_taken(kind: str, taken: sitting.Taken) -> None:
    """Stop where one of a few typed records was not taken."""
    if len(taken.refused):
        row = taken.refused.row(0, named=True)
        value = findings.show(str(row["value"] or ""))
        raise UseError(f"{row['column']} {value}: {row['fix']}")
    if taken.skipped:
        raise UseError(f"{_ONE[kind]} has to say something, such as technique=board")
    against = taken.lines.filter(pl.col("outcome") == "contradicting")
    if len(against):
        number = against["attempt_id"][0]
        raise UseError(
            f"it contradicts attempt {number}, which is that attempt by its id, order or time: "
            f"nothing stored; type offglass correct attempt {number} FIELD=VALUE --why TEXT, or "
            "give another order"
        )


def _commit(ledger: LedgerFile, reading: Reading, what: str) -> Entered:
    """Rows of the other kinds come in as a file of theirs does."""
    batch = Batch(
        kind=reading.kind,
        file=what,
        frame=reading.frame,
        rejects=reading.rejects,
        skipped=len(reading.skipped),
        mapping=reading.mapping,
        warnings=reading.warnings,
        drawn=reading.drawn,
        tagger=reading.tagger,
    )
    with ledger.changing("offglass add") as con:
        done = store.commit(con, ledger, batch)
    return Entered(Report.of(reading, done, file=what), (), ())
