"""Small ledgers for the tests of questions, filled row by row, so that every figure is known.

An answer got through `Ground.ask` is checked against the schema of answers every time.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from datetime import date, datetime, timedelta
from functools import cache
from typing import TYPE_CHECKING, Any

from jsonschema import Draft202012Validator

from ledger import resources
from ledger.cohort import Cohort, split_filters
from ledger.questions import registry
from ledger.questions.answer import Answer
from ledger.store import migrations
from ledger.store.connection import in_memory
from ledger.store.reads import Reads
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

LEAGUE, SEASON, TEAM = "Halma League", "2024-25", "Skerry"
NOON = datetime(2025, 1, 1, 12)
TECHNIQUES = {"straight": 1, "board": 2, "underhand": 3, "other": 4}
Tags = Mapping[str, tuple[int, int]]


@cache
def _validator() -> Draft202012Validator:
    return Draft202012Validator(resources.schema("answer"))


@cache
def _empty() -> DuckDBPyConnection:
    return _fresh()


def _fresh() -> DuckDBPyConnection:
    con = in_memory()
    for step in migrations.steps():
        con.execute(step.text)
    con.execute(sql("views"))
    return con


class Ground:
    """A ledger in memory, one at a time: it lives in a transaction that is rolled back.

    One that stands apart is kept beside the others, and takes longer to make.
    """

    def __init__(self, *, apart: bool = False) -> None:
        self.con = _fresh() if apart else _empty()
        # A test that failed half-way may have left its transaction open.
        with suppress(Exception):
            self.con.execute("ROLLBACK")
        self.con.execute("BEGIN")
        self._ids: dict[tuple[Any, ...], int] = {}
        self._next = 0
        self._attempts = 0
        self._tags = 0

    def close(self) -> None:
        self.con.execute("ROLLBACK")

    # -- names ------------------------------------------------------------------------------

    def _id(self, kind: str, *key: Any) -> tuple[int, bool]:
        found = self._ids.get((kind, *key))
        if found is not None:
            return found, False
        number = 1 + sum(1 for k in self._ids if k[0] == kind)
        self._ids[(kind, *key)] = number
        return number, True

    def league(self, name: str = LEAGUE) -> int:
        number, new = self._id("league", name)
        if new:
            self.con.execute(
                "INSERT INTO league VALUES (?, ?, ?, NULL)", [number, name, name.casefold()]
            )
        return number

    def season(self, label: str = SEASON) -> int:
        number, new = self._id("season", label)
        if new:
            row = [number, label, label.casefold(), int(label[:4])]
            self.con.execute("INSERT INTO season VALUES (?, ?, ?, ?)", row)
        return number

    def team(self, name: str = TEAM, league: str = LEAGUE) -> int:
        number, new = self._id("team", name, league)
        if new:
            row = [number, self.league(league), name, name.casefold()]
            self.con.execute("INSERT INTO team VALUES (?, ?, ?, ?, NULL)", row)
        return number

    def player(self, name: str, league: str = LEAGUE, position: str | None = None) -> int:
        number, new = self._id("player", name, league)
        if new:
            row = [number, self.league(league), name, name.casefold(), position]
            self.con.execute(
                "INSERT INTO player VALUES (?, ?, ?, ?, ?, NULL, NULL, NULL, NULL, NULL)", row
            )
        return number

    def same(self, name: str, other: str, league: str = LEAGUE, other_league: str = LEAGUE) -> None:
        row = [self.player(name, league), self.player(other, other_league)]
        self.con.execute("UPDATE player SET same_as = ? WHERE id = ?", row)

    def game(self, league: str, season: str, stage: str, day: date) -> int:
        number, new = self._id("game", league, season, stage, day)
        if new:
            row = [number, self.league(league), self.season(season), day, stage, f"G{number}"]
            self.con.execute(
                "INSERT INTO game VALUES (?, ?, ?, ?, ?, NULL, NULL, ?, NULL, NULL, NULL, 1)", row
            )
        return number

    def source(self, number: int = 1, **more: Any) -> int:
        _, new = self._id("source", number)
        if new:
            row: dict[str, Any] = {
                "id": number, "kind": "attempts", "file": f"file{number}.csv", "sha256": "ab" * 32,
                "content_hash": None, "size_bytes": 1, "rows": 0, "stored": 0, "rejected": 0,
                "skipped": 0, "already_there": 0, "contradicting": 0, "attempts_stored": 0,
                "tags_stored": 0, "fields_filled": 0, "drawn": False, "mapping": "{}",
                "reasons": "{}", "warnings": "[]", "who": "Ana", "at_time": NOON,
                "taken_back": None,
            }  # fmt: skip
            row |= more
            marks = ", ".join(f"${k}" for k in row)
            self.con.execute(f"INSERT INTO source VALUES ({marks})", row)
        return number

    # -- records ----------------------------------------------------------------------------

    def shots(
        self,
        player: str,
        made: int,
        attempts: int,
        *,
        team: str = TEAM,
        league: str = LEAGUE,
        season: str = SEASON,
        tags: Tags | None = None,
        games: int = 4,
        stage: str = "regular",
        shot: str = "free_throw",
        position: str | None = None,
        first_day: int = 0,
        picked_for: str | None = None,
        unclear: int = 0,
        source: int = 1,
        tagged_at: datetime = NOON,
        tagger: str = "Ana",
        ordered: bool = True,
    ) -> None:
        """Attempts of one player, makes first, dealt over games in turn.

        Args:
            tags: technique to (makes, misses) that carry it.
        """
        self.source(source)
        start = date(int(season[:4]), 11, 1) + timedelta(days=first_day)
        played = [self.game(league, season, stage, start + timedelta(days=i)) for i in range(games)]
        who, where = self.player(player, league, position), self.team(team, league)
        results = [True] * made + [False] * (attempts - made)
        ids = list(range(self._attempts + 1, self._attempts + attempts + 1))
        self._attempts += attempts
        in_game = [played[i % games] for i in range(attempts)]
        order = [i + 1 if ordered else None for i in range(attempts)]
        if attempts:
            self.con.execute(
                """INSERT INTO attempt
                SELECT id, game, $player, $team, NULL, 1, NULL, place, $shot, NULL, NULL, NULL, 1,
                    2, 'personal', false, false, NULL, made, NULL, NULL, $source, false
                FROM (SELECT unnest($id) AS id, unnest($game) AS game,
                      unnest($place::INTEGER[]) AS place, unnest($made) AS made)""",
                {"id": ids, "game": in_game, "place": order, "made": results, "player": who,
                 "team": where, "shot": shot, "source": source},
            )  # fmt: skip
        self._tag(ids, results, tags or {}, picked_for, unclear, source, tagged_at, tagger)

    def _tag(
        self,
        ids: Sequence[int],
        results: Sequence[bool],
        tags: Tags,
        picked_for: str | None,
        unclear: int,
        source: int,
        tagged_at: datetime,
        tagger: str,
    ) -> None:
        makes = [i for i, made in zip(ids, results, strict=True) if made]
        misses = [i for i, made in zip(ids, results, strict=True) if not made]
        for technique, (of_makes, of_misses) in tags.items():
            assert of_makes <= len(makes)
            assert of_misses <= len(misses)
            chosen = [*makes[:of_makes], *misses[:of_misses]]
            makes, misses = makes[of_makes:], misses[of_misses:]
            row = {
                "first": self._tags, "attempts": chosen, "tagger": tagger, "tagged_at": tagged_at,
                "technique": TECHNIQUES[technique], "picked_for": picked_for, "source": source,
            }  # fmt: skip
            self._tags += len(chosen)
            self.con.execute(
                """INSERT INTO tag (id, attempt_id, tagger, tagged_at, technique_id, adjudicated,
                    unclear, picked_for, source_id, line, removed)
                SELECT $first + row_number() OVER (), attempt, $tagger, $tagged_at, $technique,
                    false, false, $picked_for, $source, row_number() OVER (), false
                FROM (SELECT unnest($attempts::BIGINT[]) AS attempt)""",
                row,
            )
            agreed = {k: row[k] for k in ("attempts", "technique", "picked_for")}
            self.con.execute(
                """INSERT INTO agreed
                SELECT unnest($attempts::BIGINT[]), $technique, 1, false, false, $picked_for""",
                agreed,
            )
        for attempt in [*makes, *misses][:unclear]:
            self.con.execute("INSERT INTO agreed VALUES (?, NULL, 1, false, true, NULL)", [attempt])

    def tag(self, attempt: int, technique: str | None, **more: Any) -> None:
        """One tag; `more` as of several."""
        self.tag_all([attempt], technique, **more)

    def tag_all(
        self,
        attempts: Sequence[int],
        technique: str | None,
        *,
        picked_for: str | None = None,
        source: int = 1,
        at: datetime = NOON,
        tagger: str = "Ana",
        disputed: bool = False,
        **fields: Any,
    ) -> None:
        """Attempts told alike by one person; what is agreed of each follows its last tag."""
        number = None if technique is None else TECHNIQUES[technique]
        row = {
            "tagger": tagger, "tagged_at": at, "technique_id": number, "adjudicated": False,
            "unclear": False, "source_id": source, "removed": False, "picked_for": picked_for,
            **fields,
        }  # fmt: skip
        marks = ", ".join(f"${k}" for k in row)
        self.con.execute(
            f"""INSERT INTO tag (id, line, attempt_id, {", ".join(row)})
            SELECT $first + place, $first + place, attempt_id, {marks}
            FROM (SELECT unnest($ids::BIGINT[]) AS attempt_id, unnest($places::BIGINT[]) AS place)
            """,
            {**row, "first": self._tags, "ids": list(attempts),
             "places": list(range(1, len(attempts) + 1))},
        )  # fmt: skip
        self._tags += len(attempts)
        asked = {"ids": list(attempts)}
        self.con.execute(
            "DELETE FROM agreed WHERE list_contains($ids::BIGINT[], attempt_id)", asked
        )
        self.con.execute(
            """INSERT INTO agreed
            SELECT one, $technique,
                (SELECT count(*) FROM tag WHERE attempt_id = one AND NOT removed),
                $disputed, false, $picked_for
            FROM (SELECT unnest($ids::BIGINT[]) AS one)""",
            {**asked, "technique": None if disputed else number, "disputed": disputed,
             "picked_for": picked_for},
        )  # fmt: skip

    def total(
        self,
        player: str,
        made: int,
        attempts: int,
        *,
        team: str | None = TEAM,
        league: str = LEAGUE,
        season: str = SEASON,
    ) -> None:
        row = [
            self.player(player, league), None if team is None else self.team(team, league),
            self.league(league), self.season(season), made, attempts, self.source(1),
        ]  # fmt: skip
        self.con.execute(
            "INSERT INTO season_total VALUES (1, ?, ?, ?, ?, 'free_throw', ?, ?, ?, 1, false)", row
        )

    def lot(
        self,
        name: str,
        drawn: Iterable[str],
        frame: Iterable[str],
        *,
        league: str = LEAGUE,
        season: str = SEASON,
        at: datetime = datetime(2024, 12, 1),
    ) -> None:
        number, _ = self._id("lot", name)
        row = [number, name, self.league(league), self.season(season), at]
        self.con.execute("INSERT INTO lot VALUES (?, ?, ?, ?, 7, 'Ana', ?)", row)
        places = {player: place for place, player in enumerate(drawn, start=1)}
        for player in frame:
            one = [number, self.player(player, league), places.get(player)]
            self.con.execute("INSERT INTO lot_player VALUES (?, ?, 50, ?)", one)

    def shortlist(self, name: str, players: Iterable[str], league: str = LEAGUE) -> None:
        number, _ = self._id("shortlist", name)
        self.con.execute("INSERT INTO shortlist VALUES (?, ?, ?)", [number, name, NOON])
        for player in players:
            row = [number, self.player(player, league), NOON]
            self.con.execute("INSERT INTO shortlist_entry VALUES (?, ?, NULL, 1, ?, NULL)", row)

    def rumour(
        self, season: str = SEASON, league: str | None = None, player: str | None = None
    ) -> None:
        row = [
            self.season(season), None if league is None else self.league(league),
            None if player is None else self.player(player), NOON,
        ]  # fmt: skip
        self.con.execute(
            "INSERT INTO rumour VALUES (1, 'they bank them', ?, ?, ?, NULL, NULL, 'Ana', ?)", row
        )

    # -- asking -----------------------------------------------------------------------------

    @property
    def reads(self) -> Reads:
        return Reads(self.con)

    def ask(self, question: str, *, focus: Sequence[str] | None = None, **asked: Any) -> Answer:
        """An answer, checked against the schema of answers."""
        own = (option.name for option in registry.find(question).options)
        filters, options = split_filters(asked, own)
        answer = registry.answer(
            question,
            self.con,
            Cohort.of(**filters),
            focus=focus,
            options=options,
            ledger="t.duckdb",
        )
        body = json.loads(answer.json())
        # Rows are alike: the first few of thousands are enough for the schema.
        for part in (body, *body["more"].values()):
            part["rows"] = part["rows"][:5]
        assert [e.message for e in _validator().iter_errors(body)] == []
        return answer


def by_player(answer: Answer, part: str = "") -> dict[str, dict[str, Any]]:
    """Rows by the player's name; where he has several the last one stays."""
    return {row["player"]: row for row in answer.part(part).rows()}
