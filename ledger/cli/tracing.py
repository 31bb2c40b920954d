"""One source, and the journal, as text."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ledger.cli.table import listing
from ledger.safe_text import safe, safe_cell

if TYPE_CHECKING:
    from ledger.store.trace import Traced

_COUNTS = ("rows", "stored", "rejected", "skipped", "already_there", "contradicting")
_MOST = 20
_REFUSED = ("line", "column", "value", "reason", "fix")


def source_page(found: Traced) -> str:
    """All of one source for a terminal."""
    from ledger.store.journal import told

    facts = found.facts
    back = f", taken back {facts['taken_back']}" if facts["taken_back"] else ""
    lines = [
        f"source {facts['source']}: {facts['file']}",
        f"{facts['kind']}, by {facts['who']}, {facts['when']} UTC{back}",
    ]
    if facts["rows"]:
        lines.append(", ".join(f"{facts[n]:,} {n.replace('_', ' ')}" for n in _COUNTS))
        lines.append(
            f"{facts['attempts_stored']:,} attempts, {facts['tags_stored']:,} tags, "
            f"{facts['fields_filled']:,} blank fields filled"
        )
    if facts["sha256"]:
        lines.append(f"sha256 {facts['sha256']}, {facts['size_bytes']:,} bytes")
    if facts["drawn"]:
        lines.append("its players were declared as chosen by lot")
    lines += [f"{column} -> {field}" for column, field in _mapping(found.mapping).items()]
    lines += [f"note: {warning}" for warning in found.warnings]
    text = "".join(f"{safe(line)}\n" for line in lines)
    if found.refused:
        text += f"\nrefused: {', '.join(f'{n} {c}' for n, c in found.reasons.items())}\n"
        text += "".join(f"{safe(_refused_line(row))}\n" for row in found.refused[:_MOST])
        if len(found.refused) > _MOST:
            text += f"... {len(found.refused) - _MOST} more; --csv writes all of them\n"
    changed = [line for line in found.changed if line["action"] != "import"]
    if changed:
        told_of = [told(line) for line in changed[:_MOST]]
        text += "\nchanged:\n" + listing(told_of, empty="")
        if len(changed) > _MOST:
            text += (
                f"... {len(changed) - _MOST} more: offglass journal --source {facts['source']}\n"
            )
    return text


def notes_page(rows: Sequence[Mapping[str, Any]]) -> str:
    """Notes and decisions, a line each."""
    lines = []
    for row in rows:
        of = f"{row['player']} ({row['league']}): " if row["player"] else ""
        review = ", to be looked at again on " if row["why"] else ", about "
        said = f"{row['said']}, {row['why']}" if row["why"] else row["said"]
        day = f"{review}{row['date']}" if row["date"] else ""
        back = f"; source {row['source']}" if row["source"] else ""
        lines.append(f"{row['when']:%Y-%m-%d} {row['who']}: {of}{said}{day}{back}")
    if not lines:
        lines = ["nothing was noted yet: offglass note --player P TEXT"]
    return "".join(f"{safe(line)}\n" for line in lines)


def _refused_line(row: Mapping[str, Any]) -> str:
    where = f" {row['column']}" if row["column"] else ""
    value = f" {row['value']!r}" if row["value"] else ""
    return f"line {row['line']}:{where}{value}, {row['reason']}: {row['fix'] or ''}".rstrip(": ")


def refused_csv(found: Traced) -> str:
    """The refused rows of a source as CSV, safe for spreadsheets."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_REFUSED)
    for row in found.refused:
        writer.writerow([_cell(row[name]) for name in _REFUSED])
    return out.getvalue()


def journal_page(entries: Sequence[Mapping[str, Any]]) -> str:
    """Entries of the journal as an aligned table."""
    from ledger.store.journal import shown, told

    lines = [told(shown(line)) for line in entries]
    return listing(lines, empty="nothing was changed yet")


def _mapping(mapping: Mapping[str, Any]) -> dict[str, str]:
    return {k: v for k, v in mapping.items() if isinstance(v, str) and k != v}


def _cell(value: Any) -> str:
    if isinstance(value, int):
        return str(value)
    return safe_cell(safe("" if value is None else str(value)))
