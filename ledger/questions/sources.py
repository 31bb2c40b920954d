"""What came in?"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import columns
from ledger.questions.answer import Column
from ledger.questions.wording import count, counted, listed

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.inquiry import Inquiry

_REFUSED_SHOWN = 1000
# Kinds of source that bring no records.
BESIDE = (
    *("same", "lot", "rumour", "technique", "word", "list", "note", "decision", "trial", "consent"),
    *("profile", "deck", "correction"),
)

COLUMNS = (
    columns.number_of("source", "Source", "", "Number of the source"),
    columns.text("file", "File", "File name, or what it was"),
    columns.text("sha256", "sha256", "Fingerprint of the file's bytes"),
    columns.text(
        "kind",
        "Kind",
        "attempts, box, totals, tags, players, shortlist; entry, correction, merge; or a change "
        "beside the records: lot, rumour, technique, word, list, note, decision, same, ...",
    ),
    columns.number_of("rows", "Rows", "rows", "Rows read"),
    columns.number_of("stored", "Stored", "rows", "Rows that added something"),
    columns.number_of("rejected", "Refused", "rows", "Rows that cannot be right"),
    columns.number_of(
        "skipped", "Skipped", "rows", "Rows that are no records (titles, sums, blanks)"
    ),
    columns.number_of("already_there", "Already there", "rows", "Rows that added nothing"),
    columns.number_of(
        "contradicting", "Contradicting", "rows", "Rows that differ from what is there"
    ),
    columns.text("who", "By", "Who brought it in"),
    columns.text("when", "When", "When it came in (UTC)"),
    columns.text("taken_back", "Taken back", "When it was taken back (UTC); empty where it counts"),
    columns.number_of("attempts_stored", "Attempts", "attempts", "Attempts it added"),
    columns.number_of("tags_stored", "Tags", "tags", "Tags it added"),
    columns.number_of("fields_filled", "Filled", "fields", "Blank fields it filled"),
    Column("drawn", "Drawn", "boolean", "", "Its players were declared as chosen by lot"),
    columns.text("warnings", "Warnings", "What was noticed when it came in"),
)
REFUSED_COLUMNS = (
    columns.number_of("source", "Source", "", "Number of the source"),
    columns.number_of("line", "Line", "", "Line of the file"),
    columns.text("column", "Column", "Column at fault"),
    columns.text("value", "Value", "What stands there"),
    columns.text("reason", "Reason", "Why the row was refused"),
    columns.text("fix", "What to do", "How to mend it"),
)

JOURNAL_COLUMNS = (
    columns.number_of("line", "Line", "", "Line of the journal, the newest first"),
    columns.text("when", "When", "When it was changed (UTC)"),
    columns.text("who", "By", "Who changed it"),
    columns.text("what", "What", "What was done"),
    columns.text("of", "Of", "What it was done to, with its number in the ledger"),
    columns.text("field", "Field", "The field that changed"),
    columns.text("was", "Was", "What it was"),
    columns.text("is", "Is", "What it is"),
    columns.text("why", "Why", "The reason that was given"),
    columns.number_of("source", "Source", "", "Number of the source it belongs to"),
)


def answer(inquiry: Inquiry) -> Answer:
    """Every source with what came of its rows; `source` is the one filter that matters."""
    numbers = inquiry.reads.names.sources(inquiry.cohort.source)
    frame = inquiry.reads.sources(numbers)
    frame = frame.with_columns(
        warnings=pl.Series([_warnings(w) for w in frame["warnings"].to_list()], dtype=pl.String)
    )
    refused = inquiry.reads.refused(numbers)
    notes = []
    others = [name for name in inquiry.cohort.asked() if name != "source"]
    if others:
        notes.append(
            f"Sources are not narrowed by {listed(others)}: every source is listed."
            if not numbers
            else f"Sources are not narrowed by {listed(others)}."
        )
    if int(frame["rejected"].sum()) > refused.height:
        notes.append(
            f"Of each source the first {_REFUSED_SHOWN:,} refused rows are listed."
            if refused.height
            else "Refused rows are listed for files only."
        )
    parts = {
        "refused": columns.part(REFUSED_COLUMNS, refused),
        "journal": columns.part(JOURNAL_COLUMNS, inquiry.reads.journal(numbers)),
    }
    return inquiry.answer(
        _headline(frame),
        columns.part(COLUMNS, frame),
        parts,
        notes,
        with_focus=False,
        words=f"Source {listed([str(n) for n in numbers])}" if numbers else "Every source",
    )


def _warnings(text: str | None) -> str | None:
    """Stored warnings, a JSON list, in one line."""
    try:
        found: Any = json.loads(text or "[]")
    except ValueError:
        found = [text]
    said = "; ".join(str(w) for w in found) if isinstance(found, list) else str(found)
    return said or None


def _headline(frame: pl.DataFrame) -> str:
    if frame.height == 0:
        return "Nothing has come in yet: type offglass import FILE."
    changes = frame.filter(pl.col("kind").is_in(BESIDE)).height
    brought = frame.height - changes
    live = frame.filter(pl.col("taken_back").is_null())
    back = frame.height - live.height
    attempts, tags = int(live["attempts_stored"].sum()), int(live["tags_stored"].sum())
    rejected, against = int(live["rejected"].sum()), int(live["contradicting"].sum())
    came = [counted(attempts, "attempt")] if attempts or not tags else []
    came += [counted(tags, "tag")] if tags else []
    many, records = counted(frame.height, "source"), f"{listed(came)} came in"
    said = [f"{many}: {records}"]
    if changes:
        are = "is a change" if changes == 1 else "are changes"
        records = f"{records} with {count(brought)}" if brought else "no records came in"
        said = [f"{many}: {records}", f"{count(changes)} {are} beside the records"]
    said.append(f"{counted(rejected, 'row')} refused" if rejected else "no row was refused")
    gone = int(frame["rejected"].sum()) - rejected
    if gone:
        said[-1] += f" ({count(gone)} more in what was taken back)"
    if against:
        said.append(f"{counted(against, 'row')} contradicting what is there")
    if back:
        said.append(f"{counted(back, 'source')} taken back")
    return f"{', '.join(said)}."
