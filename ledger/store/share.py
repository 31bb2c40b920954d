"""A part of the ledger for other people: attempts and tags of a cohort, and nothing else.

Who watched becomes A, B and so on. Practice, lists, trials, notes, the journal and what is known of
players' bodies never leave. Every file is described, can be read by `offglass import`, and a plain
text beside them says what left and what did not.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.store import cells, opening, package
from ledger.store.descriptor import Written, describe_share
from ledger.store.lending import lent
from ledger.store.records import CLOCK_ORDERS_FROM
from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.cohort import Cohort
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.reads import Reads

CONTENTS = "contents.txt"
# Tags in the order they are to be read: who was drawn by lot, then whom the lot could have drawn.
TAGS, DRAWN, LATER = "tags", "tags_drawn", "tags_later"
_WHOSE = {TAGS: "", DRAWN: " of players drawn by lot", LATER: " of players whom a lot left out"}
_ADULT = 18
_KNOWN_EVERYWHERE = ("straight", "board", "underhand", "other")
_WHO = ("league_id", "season_id", "person_id")
_INSIDE = ("number", "trip_derived", "age", *_WHO, "cut", "part")
# What an attempt is, for an id of its own where its source gave none.
_IDENTITY = (
    *("league", "season", "date", "game", "home", "away", "team", "player", "shot", "period"),
    *("clock", "order", "made"),
)
_CAUTION = (
    "These are records of persons. Where players may be minors, ask those who answer for them "
    "before names are passed on."
)


@dataclass(frozen=True, slots=True)
class Shared:
    """What left.

    Attributes:
        folder: where it lies.
        rows: file to number of rows.
        taggers: how many people's names were replaced by letters.
        minors: players who may be under 18, as far as the ledger knows.
        lines: what left and what did not, a line each, as in `contents.txt`.
    """

    folder: Path
    rows: dict[str, int]
    taggers: int
    minors: int
    lines: tuple[str, ...]


def export_share(ledger: LedgerFile, folder: str | os.PathLike[str], cohort: Cohort) -> Shared:
    """Write attempts and tags of a cohort for other people.

    Args:
        ledger: the ledger.
        folder: a folder that is new or empty.
        cohort: which attempts; practice is never among them.

    Raises:
        UseError: for a folder or name that cannot be used, for practice, and for an empty cohort.
        LedgerError: if the ledger cannot be read or the disk is full.
    """
    if "practice" in cohort.stage:
        raise UseError("records of practice are not shared: leave --stage practice out")
    with package.new_folder(folder) as draft:
        with ledger.reading() as con:
            attempts, tags, techniques, left = _found(con, cohort)
        if attempts.is_empty():
            raise UseError(f"nothing to share: {cohort.sentence()} holds no attempts")
        tags, taggers = _renamed(tags)
        lines = _told(cohort, attempts, tags, taggers, techniques, left)
        files = {"attempts": _written(draft, "attempts", attempts)}
        for name, part in _parts(tags):
            files[name] = _written(draft, name, part)
        created = ledger.clock().isoformat(timespec="seconds") + "Z"
        body = describe_share(created, cohort.sentence(), files, techniques)
        text = json.dumps(body, ensure_ascii=False, indent=1) + "\n"
        (draft / package.DESCRIPTOR).write_text(text, encoding="utf-8")
        (draft / CONTENTS).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return Shared(
        folder=opening.real_path(folder),
        rows={written.path: written.rows for written, _ in files.values()},
        taggers=taggers,
        minors=_minors(attempts),
        lines=lines,
    )


def _parts(tags: pl.DataFrame) -> list[tuple[str, pl.DataFrame]]:
    """The files of tags in the order they are to be read; those without a row are left out."""
    import polars as pl

    parts = [(name, tags.filter(pl.col("part") == name)) for name in (TAGS, DRAWN, LATER)]
    return [(name, part) for name, part in parts if len(part)] or parts[:1]


def _written(draft: Path, name: str, frame: pl.DataFrame) -> tuple[Written, list[str]]:
    kept = _held(frame.drop(_INSIDE, strict=False))
    data = cells.to_csv(kept)
    (draft / f"{name}.csv").write_bytes(data)
    digest = hashlib.sha256(data).hexdigest()
    return Written(f"{name}.csv", len(data), digest, len(frame)), kept.columns


def _found(
    con: DuckDBPyConnection, cohort: Cohort
) -> tuple[pl.DataFrame, pl.DataFrame, list[dict[str, object]], dict[str, int]]:
    import polars as pl

    from ledger.store.reads import Reads

    where = Reads(con).scope(cohort)
    text = where.statement(sql("share", "attempts"))
    values = where.bound(text, clock_orders_from=CLOCK_ORDERS_FROM)
    attempts = _identified(pl.DataFrame(con.sql(text, params=values)))
    with lent(con, shared=attempts.select("number")):
        tags = pl.DataFrame(con.sql(sql("share", "tags")))
    tags = tags.join(
        attempts.select("number", "attempt_id", "league", *_WHO), on="number", maintain_order="left"
    ).join(_lots(Reads(con)), on=_WHO, how="left", maintain_order="left")
    tags = tags.with_columns(pl.col("part").fill_null(TAGS))
    known = pl.DataFrame(con.sql(sql("share", "techniques")))
    used = known.filter(pl.col("name").is_in(tags["technique"].unique().implode()))
    left = pl.DataFrame(con.sql(sql("share", "left_out"))).row(0, named=True)
    return attempts, tags, used.to_dicts(), left


def _lots(reads: Reads) -> pl.DataFrame:
    """Whose tags go into which file: `part` of everybody whom some lot drew or could have drawn.

    A file that is declared as drawn tells who was drawn, and whoever is first tagged after it
    counts as one whom the lot could have drawn; so those come in a file after it.
    """
    import polars as pl

    saved, tags = reads.lots(), reads.first_tags()
    began = tags.filter("drawn").group_by(_WHO[:2]).agg(pl.col("first_tag").min().alias("began"))
    declared = tags.join(began, on=_WHO[:2]).filter(pl.col("first_tag") >= pl.col("began"))
    people = pl.concat([f.select(*_WHO, "drawn") for f in (saved, declared)])
    return people.group_by(_WHO).agg(
        pl.when(pl.col("drawn").any()).then(pl.lit(DRAWN)).otherwise(pl.lit(LATER)).alias("part")
    )


def _held(frame: pl.DataFrame) -> pl.DataFrame:
    """The frame without columns that say nothing at all, those of the attempt's place kept."""
    empty = [c for c in frame.columns if frame[c].null_count() == len(frame)]
    return frame.drop([c for c in empty if c not in ("attempt_id", "technique", "tagger")])


def _identified(attempts: pl.DataFrame) -> pl.DataFrame:
    """The attempts, each with an id: its source's, else one made from what it is.

    The same attempt has the same id in every share, and no other attempt has it.
    """
    import polars as pl

    alike = pl.int_range(pl.len()).over(_IDENTITY).cast(pl.String)
    whole = attempts.select(
        pl.concat_str(
            *(pl.col(c).cast(pl.String).fill_null("") for c in _IDENTITY), alike, separator="\x1f"
        )
    ).to_series()
    made = [f"share-{hashlib.sha256(text.encode()).hexdigest()[:20]}" for text in whole]
    return attempts.with_columns(
        pl.coalesce("attempt_id", pl.Series("made_id", made, dtype=pl.String)).alias("attempt_id")
    )


def _renamed(tags: pl.DataFrame) -> tuple[pl.DataFrame, int]:
    """The tags with their taggers as A, B and so on; how many those are."""
    import polars as pl

    people = tags["tagger"].unique(maintain_order=True).to_list()
    letters = {name: _letters(n) for n, name in enumerate(people)}
    ids = ["attempt_id", "league"]
    tags = tags.select(*ids, *(c for c in tags.columns if c not in ids))
    if letters:
        tags = tags.with_columns(pl.col("tagger").replace_strict(letters, return_dtype=pl.String))
    return tags, len(people)


def _letters(number: int) -> str:
    out = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        out = chr(ord("A") + rest) + out
    return out


def _minors(attempts: pl.DataFrame) -> int:
    import polars as pl

    young = attempts.filter(pl.col("age") < _ADULT)
    return young["person_id"].n_unique() if len(young) else 0


def _told(
    cohort: Cohort,
    attempts: pl.DataFrame,
    tags: pl.DataFrame,
    taggers: int,
    techniques: list[dict[str, object]],
    left: dict[str, int],
) -> tuple[str, ...]:
    """What left and what did not, a line each."""
    people, games = attempts["person_id"].n_unique(), attempts.select("league", "date", "game")
    lines = [
        f"What left: {cohort.sentence()}",
        f"attempts.csv: {len(attempts)} attempts of {people} players in {games.n_unique()} games, "
        "by name",
        *(f"{name}.csv: {len(part)} tags{_WHOSE[name]}" for name, part in _parts(tags)),
        "attempt_id and league say of which attempt a tag is",
    ]
    if taggers:
        who = "A" if taggers == 1 else f"A to {_letters(taggers - 1)}"
        lines.append(f"taggers: {taggers} people, called {who} here")
    for row in techniques:
        if row["name"] not in _KNOWN_EVERYWHERE:
            board = " --board" if row["uses_board"] else ""
            lines.append(
                f"technique {row['name']} is not known everywhere: before the import type "
                f"offglass technique add {row['name']!r}{board}"
            )
    way = [
        f"offglass import {name}.csv --as tags{' --drawn' if name == DRAWN else ''}"
        for name, _ in _parts(tags)
    ]
    lines.append(f"To read it: offglass import attempts.csv, then {', then '.join(way)}")
    lines += ["", "What did not leave:", *_kept(attempts, tags, left)]
    minors = _minors(attempts)
    caution = _CAUTION if not minors else f"{_CAUTION} {minors} players here may be under {_ADULT}."
    return (*lines, "", caution)


def _kept(attempts: pl.DataFrame, tags: pl.DataFrame, left: dict[str, int]) -> list[str]:
    derived, cut = int(attempts["trip_derived"].sum()), int(tags["cut"].fill_null(False).sum())
    found = [
        f"{left['attempts'] - left['practice'] - len(attempts)} other attempts of games",
        f"{left['practice']} attempts of practice",
        f"{left['totals']} season totals",
        f"{left['lists']} lists and lots, {left['trials']} trials, {left['notes']} notes, "
        f"decisions and rumours, {left['words']} words, {left['profiles']} profiles",
        "the journal, the sources and who brought them",
        "height, mass, year of birth, hand, position and shirt number of players; films of games",
        f"notes, seconds of film and reasons for picking of {cut} tags",
    ]
    if derived:
        found.append(f"trips of {derived} attempts that were only worked out from the clock")
    return [f"- {line}" for line in found]
