"""Tags typed one after another while watching: each one small change, kept at once.

What `sitting.take` does for records of any kind, done here for one tag of one attempt that is
named by its number, in a few milliseconds at a million attempts. The rules are the same: a tag
typed again by the same person stands for the earlier one, the agreed technique is rewritten with
it, every tag leaves a sighting, and the sitting can be taken back as one source.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import bulk, double_tags, frames, journal, sitting
from ledger.store.agree import agree_alone, agree_one
from ledger.store.records import TAG, TAG_SAYS
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

# The tables a tag adds to or takes from, for `LedgerFile.changing`.
TOUCHES = ("source", "sighting", "tag", "agreed", "double_tag", "journal")


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a sitting stands: what is read once, as long as nobody else changes the ledger.

    Attributes:
        line: the line that its next tag gets.
        tag: the number of the next tag.
        seed: that of the draws of what is watched twice.
    """

    line: int
    tag: int
    seed: int

    @classmethod
    def of(cls, con: DuckDBPyConnection, source_id: int) -> Standing:
        """Read it.

        Raises:
            SittingClosed: if the sitting is not open.
        """
        line = sitting.next_line(con, source_id)
        return cls(line, bulk.next_id(con, "tag"), double_tags.seed_of(con))

    def next(self) -> Standing:
        """The same after one more tag."""
        return Standing(self.line + 1, self.tag + 1, self.seed)


@dataclass(frozen=True, slots=True)
class Tagged:
    """What typing a tag, or taking it back, came to.

    Attributes:
        sitting: the source it belongs to.
        attempt: the ledger's number of the attempt.
        tag: the number of the tag.
        before: the person's technique as written that it stands for, or that counts again.
        replaced: whether the person had a tag of it before.
    """

    sitting: int
    attempt: int
    tag: int
    before: str | None = None
    replaced: bool = False


def add_tag(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    attempt_id: int,
    said: Mapping[str, Any],
    technique_id: int | None,
    tagger: str,
    standing: Standing,
    *,
    second: bool = False,
) -> Tagged:
    """Add a person's tag of an attempt to a sitting.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who types, and when.
        source_id: an open sitting, from `sitting.begin`.
        attempt_id: the ledger's number of the attempt.
        said: the typed columns of a tag.
        technique_id: the number of the technique that is said.
        tagger: who watched.
        standing: where the sitting stands.
        second: whether it is a second opinion: how the attempt was picked does not change by it.

    Raises:
        UseError: if the attempt is not there, or the tag says nothing.
    """
    row = _row(hand, said, technique_id)
    if frames.one(con, ("typed", "attempt"), {"attempt_id": attempt_id}) is None:
        raise UseError(
            f"there is no attempt {attempt_id} any more: its source was taken back meanwhile"
        )
    live = con.execute(sql("tagging", "live_tags"), {"attempt_id": attempt_id}).fetchall()
    mine = [tag for tag in live if tag[1] == tagger]
    if second:
        row["picked_for"] = min((tag[3] for tag in live), key=_fairest, default=None)
    for old, _, written, _ in mine:
        con.execute(sql("tagging", "hide"), {"id": old})
        journal.record(
            con, hand.clock, hand.who, "tag again", table="tag", row_id=old, field=tagger,
            old=written, source_id=source_id,
        )  # fmt: skip
    where = {"attempt_id": attempt_id, "source_id": source_id, "line": standing.line}
    con.execute(sql("tagging", "add"), {"id": standing.tag, "tagger": tagger, **where, **row})
    con.execute(
        sql("commit/rederive", "add_one_sighting"),
        {**where, "outcome": "stored", "given": _given(row, tagger)},
    )
    con.execute(sql("tagging", "count_tag"), {"id": source_id})
    settle = agree_one if live else agree_alone
    settle(con, attempt_id, standing.seed)
    written = mine[0][2] if mine else None
    return Tagged(source_id, attempt_id, standing.tag, written, bool(mine))


def drop_tag(
    con: DuckDBPyConnection, hand: Hand, source_id: int, attempt_id: int, tagger: str
) -> Tagged:
    """Take the last tag of an attempt out of a sitting; the one it stood for counts again.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who takes it back, and when.
        source_id: the sitting.
        attempt_id: the ledger's number of the attempt.
        tagger: who watched.

    Raises:
        UseError: if the sitting has no tag of this person that counts.
    """
    sitting.next_line(con, source_id)
    asked = {"source_id": source_id, "attempt_id": attempt_id, "tagger": tagger}
    found = con.execute(sql("tagging", "newest"), asked)
    names = [column[0] for column in found.description or ()]
    rows = [dict(zip(names, row, strict=True)) for row in found.fetchall()]
    if not rows:
        raise UseError(
            f"there is no tag of attempt {attempt_id} by {tagger} to take back in this sitting"
        )
    tag = rows[0]
    con.execute(sql("tagging", "drop"), {"id": tag["id"]})
    con.execute(
        sql("tagging", "drop_sighting"),
        {"source_id": source_id, "line": tag["line"], "attempt_id": attempt_id},
    )
    con.execute(sql("tagging", "count_untag"), {"id": source_id})
    asked = {"attempt_id": attempt_id, "tagger": tagger, "id": tag["id"]}
    back = con.execute(sql("tagging", "before"), asked).fetchone()
    if back is not None:
        con.execute(sql("tagging", "show"), {"id": back[0]})
    journal.record(
        con, hand.clock, hand.who, "untag", table="tag", row_id=tag["id"], field=tagger,
        old=_told(tag), new=back[1] if back else None, source_id=source_id,
    )  # fmt: skip
    agree_one(con, attempt_id, double_tags.seed_of(con))
    return Tagged(source_id, attempt_id, tag["id"], back[1] if back else None, back is not None)


def _row(hand: Hand, said: Mapping[str, Any], technique_id: int | None) -> dict[str, Any]:
    """The columns of the tag's row, those that are not said empty."""
    row = {**{n: said.get(n) for n in TAG}, "technique_id": technique_id}
    flags = {n: bool(row[n]) for n in ("adjudicated", "unclear")}
    if not any(flags.values()) and all(row[n] is None for n in TAG_SAYS):
        raise UseError("a tag has to say something, such as technique=board")
    return {**row, **flags, "tagged_at": hand.clock()}


def _fairest(picked_for: str | None) -> tuple[bool, bool]:
    """What was drawn before what was picked, that before what was picked by its result."""
    return (picked_for == "result", picked_for is not None)


def _given(row: Mapping[str, Any], tagger: str) -> str:
    """What the sighting keeps: the same text as that of a record from a file."""
    at_time = row["tagged_at"].strftime("%Y-%m-%dT%H:%M:%S.%f")
    held = {**row, "tagger": tagger, "tagged_at": at_time}
    return json.dumps({n: v for n, v in held.items() if v is not None}, ensure_ascii=False)


def _told(tag: Mapping[str, Any]) -> str:
    """A tag as the journal keeps it: every field it filled."""
    names = [n for n in TAG if n != "technique_id" and tag[n] not in (None, False)]
    return ", ".join(f"{n}={journal.text_of(tag[n])}" for n in names)
