"""The SQL texts: files under `sql/`, read once, never built from values.

A file holds one statement, or several that each begin with a line `-- name: something`. Values are
always bound; the only thing that may be filled in is `{table}`, with a plain lower-case name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

_FOLDER = Path(__file__).resolve().parent / "sql"
# A comment above a name belongs to what it names, not to the statement before.
_NAME_LINE = re.compile(r"(?:^--(?! name:)[^\n]*\n)*^-- name: *([a-z0-9_]+) *$", re.MULTILINE)
_IDENTIFIER = re.compile(r"[a-z][a-z0-9_]*")


@cache
def sql(file: str, name: str | None = None) -> str:
    """The text of `sql/<file>.sql`, or of one named statement in it.

    Args:
        file: path under `sql/` without its ending, such as `reads/player_seasons`.
        name: the statement's name, as on its line `-- name: player_seasons`.

    Raises:
        KeyError: if the file has no statement of that name.
    """
    text = (_FOLDER / f"{file}.sql").read_text(encoding="utf-8")
    if name is None:
        return text
    parts = _NAME_LINE.split(text)
    named = dict(zip(parts[1::2], parts[2::2], strict=True))
    if name not in named:
        raise KeyError(f"sql/{file}.sql has no statement {name}: it has {', '.join(named)}")
    return named[name].strip().rstrip(";")


def exists(file: str) -> bool:
    """Whether there is a `sql/<file>.sql`."""
    return (_FOLDER / f"{file}.sql").is_file()


def folder(name: str) -> Path:
    """A folder under `sql/`."""
    return _FOLDER / name


def for_table(text: str, table: str, **names: str) -> str:
    """A statement with `{table}` filled in as a name, `{table_text}` as a text, others alike.

    Raises:
        ValueError: if a name is anything but lower-case letters, digits and underscores.
    """
    for key, name in {"table": table, **names}.items():
        if not _IDENTIFIER.fullmatch(name):
            raise ValueError(f"{name!r} is no name of a table or column")
        text = text.replace("{" + key + "_text}", f"'{name}'").replace("{" + key + "}", f'"{name}"')
    return text


def for_tables(text: str, tables: Iterable[str]) -> str:
    """The same statement for several tables, their rows one under the other."""
    return one_under_the_other(for_table(text, t) for t in tables)


def one_under_the_other(texts: Iterable[str]) -> str:
    """Statements of the same columns made one, their rows one under the other."""
    return sql("joining", "one_under_the_other").join(f"\n{text}\n" for text in texts)
