"""The ledger's words: what a spelling of a coded field means, also for tags already there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.resources import schema
from ledger.store import journal
from ledger.store.agree import agree
from ledger.store.journal import Hand
from ledger.store.names import did_you_mean, find_technique, tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

UNCLEAR = "unclear"
_KINDS = ("attempts", "box", "totals", "tags", "players", "shortlist")
_LONGEST = 200


def coded_fields() -> dict[str, tuple[str, ...]]:
    """The fields that are written in words, with the values each may have.

    `technique` has none here: its values are the ledger's techniques and `unclear`.
    """
    found: dict[str, tuple[str, ...]] = {}
    for kind in _KINDS:
        for field in schema(kind)["fields"]:
            if field.get("coded"):
                values = field.get("constraints", {}).get("enum", ())
                found[field["name"]] = ("yes", "no") if field["type"] == "boolean" else (*values,)
    return found


def add_word(con: DuckDBPyConnection, hand: Hand, field: str, text: str, value: str) -> int:
    """Say what a word of a file means; a word already there gets the new meaning.

    Tags whose technique was written so are read anew, and their attempts' agreed technique with
    them.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when (a `LedgerFile` will do).
        field: a coded field, such as `made` or `technique`.
        text: the word as files write it.
        value: what it means.

    Returns:
        How many attempts carry a tag that was read anew.

    Raises:
        UseError: for a field, word or value that cannot be.
    """
    name, meaning = _checked(con, field, text, value)
    word = tidy(text)
    asked = {"field": name, "normal_form": written_form(word)}
    row = {**asked, "text": word, "value": meaning, "who": hand.who, "at_time": hand.clock()}
    before = con.execute(sql("words", "one"), asked).fetchone()
    if before is None:
        con.execute(sql("words", "add"), row)
    elif before[0] != meaning:
        con.execute(sql("words", "change"), row)
    if before is None or before[0] != meaning:
        old = before[0] if before else None
        journal.record(
            con, hand.clock, hand.who, "word", table="word", field=f"{name}:{word}",
            old=old, new=meaning,
        )  # fmt: skip
    return resolve_written(con, word, meaning) if name == "technique" else 0


def resolve_written(con: DuckDBPyConnection, word: str, value: str) -> int:
    """Read the tags whose technique was written as `word` anew, with `agreed`.

    Args:
        con: a connection inside `LedgerFile.changing`.
        word: the word as written, in any case.
        value: a technique's name, or `unclear`.

    Returns:
        How many attempts are touched.
    """
    form = written_form(word)
    rows = con.execute(sql("words", "written")).fetchall()
    written = [str(r[0]) for r in rows if written_form(str(r[0])) == form]
    if not written:
        return 0
    unclear = value == UNCLEAR
    asked = {
        "written": written,
        "technique_id": None if unclear else find_technique(con, value).id,
        "unclear": unclear,
    }
    con.execute(sql("words", "touched"), asked)
    con.execute(sql("words", "resolve"), asked)
    agree(con, "word_touched")
    counted = con.execute(sql("words", "count_touched")).fetchone()
    con.execute(sql("words", "forget_touched"))
    return int(counted[0]) if counted else 0


def resolve_unknown(con: DuckDBPyConnection) -> int:
    """Read anew every tag whose technique is still unknown but whose word is known by now.

    For tags rebuilt from what a file gave before the word was explained.

    Returns:
        How many attempts are touched.
    """
    meanings = {
        str(form): str(value)
        for field, _, form, value in con.execute(sql("words", "all")).fetchall()
        if field == "technique"
    }
    rows = con.execute(sql("words", "written_unknown")).fetchall()
    forms = {written_form(str(r[0])): str(r[0]) for r in rows}
    return sum(
        resolve_written(con, word, meanings[form])
        for form, word in forms.items()
        if form in meanings
    )


def _checked(con: DuckDBPyConnection, field: str, text: str, value: str) -> tuple[str, str]:
    fields = coded_fields()
    name = tidy(field).casefold().replace(" ", "_").replace("-", "_")
    if name not in fields:
        raise UseError(f"no coded field is called {field!r}{did_you_mean(field, list(fields))}")
    word = tidy(text)
    if not word or len(word) > _LONGEST:
        raise UseError(f"--word {name} needs a word of 1 to {_LONGEST} letters before the =")
    plain = tidy(value).casefold().replace(" ", "_").replace("-", "_")
    if name == "technique":
        if plain == UNCLEAR:
            return name, UNCLEAR
        meaning = find_technique(con, value).name
        rows = con.execute(sql("names", "techniques")).fetchall()
        own = {written_form(str(r[1])): str(r[1]) for r in rows}
        if own.get(written_form(word), meaning) != meaning:
            raise UseError(f"{word!r} is a technique of its own and cannot mean {meaning!r}")
        return name, meaning
    if plain not in fields[name]:
        raise UseError(f"{value!r} is no {name}: use {', '.join(fields[name])}")
    return name, plain
