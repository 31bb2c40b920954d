"""The ledger's words: what a spelling of a coded field means, also for tags already there."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.resources import schema
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


def meaning_of(con: DuckDBPyConnection, field: str, text: str) -> str | None:
    """What the ledger's own words say a word means, if they say anything."""
    asked = {"field": field, "normal_form": written_form(text)}
    found = con.execute(sql("words", "one"), asked).fetchone()
    return str(found[0]) if found else None


def keep_word(con: DuckDBPyConnection, hand: Hand, field: str, text: str, value: str) -> None:
    """Write a word that `checked` has let through; one already there gets the new meaning."""
    asked = {"field": field, "normal_form": written_form(text)}
    row = {**asked, "text": tidy(text), "value": value, "who": hand.who, "at_time": hand.clock()}
    deed = "add" if meaning_of(con, field, text) is None else "change"
    con.execute(sql("words", deed), row)


def readings_of(con: DuckDBPyConnection, word: str) -> str | None:
    """How the tags written as a word are read now, to be kept in the journal; none, nothing.

    The reading of most of them stands first and alone, the others name their tags.
    """
    written = _written_as(con, word)
    if not written:
        return None
    rows = con.execute(sql("words", "readings"), {"written": written}).fetchall()
    most, *others = rows
    return json.dumps([[*most[:2], None], *[[*row[:2], row[2]] for row in others]])


def reread(con: DuckDBPyConnection, word: str) -> int:
    """Read the tags whose technique was written as `word` by what it means now.

    By the ledger's own word, else by the technique of that name, else as they were read before the
    ledger had a word of its own for it.

    Returns:
        How many attempts are touched.
    """
    form = written_form(word)
    meaning = meaning_of(con, "technique", word)
    if meaning is None:
        rows = con.execute(sql("names", "techniques")).fetchall()
        named = {written_form(str(r[1])): str(r[1]) for r in rows}
        meaning = named.get(form)
    if meaning is not None:
        return resolve_written(con, word, meaning)
    kept = con.execute(sql("words", "first_reading"), {"word": form}).fetchone()
    if kept is None:
        return 0
    touched = 0
    for technique_id, unclear, tags in json.loads(kept[0]):
        touched += _resolve(con, word, technique_id, unclear, tags)
    return touched


def resolve_written(con: DuckDBPyConnection, word: str, value: str) -> int:
    """Read the tags whose technique was written as `word` anew, with `agreed`.

    Args:
        con: a connection inside `LedgerFile.changing`.
        word: the word as written, in any case.
        value: a technique's name, or `unclear`.

    Returns:
        How many attempts are touched.
    """
    unclear = value == UNCLEAR
    technique_id = None if unclear else find_technique(con, value).id
    return _resolve(con, word, technique_id, unclear, None)


def _resolve(
    con: DuckDBPyConnection,
    word: str,
    technique_id: int | None,
    unclear: bool,
    tags: list[int] | None,
) -> int:
    """Give the tags written as a word, all or only some, a technique; how many attempts."""
    written = _written_as(con, word)
    if not written:
        return 0
    asked = {
        "written": written,
        "technique_id": technique_id,
        "unclear": unclear,
        "all": tags is None,
        "tags": tags or [],
    }
    con.execute(sql("words", "touched"), asked)
    con.execute(sql("words", "resolve"), asked)
    agree(con, "word_touched")
    counted = con.execute(sql("words", "count_touched")).fetchone()
    con.execute(sql("words", "forget_touched"))
    return int(counted[0]) if counted else 0


def _written_as(con: DuckDBPyConnection, word: str) -> list[str]:
    form = written_form(word)
    rows = con.execute(sql("words", "written")).fetchall()
    return [str(r[0]) for r in rows if written_form(str(r[0])) == form]


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


def _technique(con: DuckDBPyConnection, value: str) -> str:
    try:
        return find_technique(con, value).name
    except UseError as unknown:
        raise UseError(
            f"{unknown.message}; a new one is added first: offglass technique add NAME"
        ) from None


def checked(con: DuckDBPyConnection, field: str, text: str, value: str) -> tuple[str, str]:
    """The field and value of a word as they are kept.

    Raises:
        UseError: for a field, word or value that cannot be.
    """
    fields = coded_fields()
    name = tidy(field).casefold().replace(" ", "_").replace("-", "_")
    if name not in fields:
        near = did_you_mean(field, list(fields)) or f": there is {', '.join(sorted(fields))}"
        raise UseError(f"no coded field is called {field!r}{near}")
    word = tidy(text)
    if not word or len(word) > _LONGEST:
        raise UseError(f"--word {name} needs a word of 1 to {_LONGEST} letters before the =")
    plain = tidy(value).casefold().replace(" ", "_").replace("-", "_")
    if name == "technique":
        if plain == UNCLEAR:
            return name, UNCLEAR
        meaning = _technique(con, value)
        rows = con.execute(sql("names", "techniques")).fetchall()
        own = {written_form(str(r[1])): str(r[1]) for r in rows}
        if own.get(written_form(word), meaning) != meaning:
            raise UseError(f"{word!r} is a technique of its own and cannot mean {meaning!r}")
        return name, meaning
    if plain not in fields[name]:
        raise UseError(f"{value!r} is no {name}: use {', '.join(fields[name])}")
    return name, plain
