"""A game typed in trip by trip: one sitting, every trip kept at once, by the rules of a file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger import resources
from ledger.errors import LedgerError, UseError
from ledger.intake import entry, fields
from ledger.intake.bring import read_words
from ledger.intake.options import ReadOptions
from ledger.intake.read import read_rows
from ledger.intake.trip import GameFacts, Scored, TakenBack, Trip
from ledger.intake.words import Words
from ledger.store import scored, sitting, steps
from ledger.store.names import written_form
from ledger.store.reads.scoresheet import FoundGame, Scoresheets, Shirt, SoFar

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.ledger_file import LedgerFile
    from ledger.store.scored import Place

_DEED = "offglass, scoresheet"
_KIND = "attempts"
_TYPED = (
    *("made", "period", "clock", "trip_shot", "trip_of", "trip_kind", "ended_by", "rebound_by"),
    *("technique", "miss_depth", "miss_side"),
)
# Where others change the ledger all the time, looking everybody up again is not worth it.
_MOST_LOOKS = 8


@dataclass(frozen=True, slots=True)
class _Known:
    """What the ledger holds of a game, at one of its changes."""

    so_far: SoFar
    at_change: int
    alone: bool


@dataclass(slots=True)
class Sheet:
    """A game that is being typed; what is known of the ledger holds for one state of it.

    Attributes:
        facts: the game, by the names of the ledger.
        line_ups: who is with each team, as the ledger has it.
        source: the sitting; none before its first trip.
        game: the game's row; none before its first trip.
        known: what the game holds, as it was last read.
        techniques: names of the ledger's techniques, in its order.
        counts: made and attempts of each person now.
        order: the place in the game that the next attempt gets.
        at_change: the state of the ledger for which all of this holds.
        places: who can be typed without being looked up.
        words: what words of coded fields mean.
        values: values that were read before.
        looks: how often everybody was looked up.
    """

    facts: GameFacts
    line_ups: dict[str, tuple[Shirt, ...]]
    source: int | None
    game: int | None
    known: SoFar
    techniques: tuple[str, ...] = ()
    counts: dict[int, tuple[int, int]] = field(default_factory=dict)
    order: int = 1
    at_change: int = -1
    alone: bool = False
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    words: Words | None = None
    values: dict[tuple[str, str], Any] = field(default_factory=dict)
    looks: int = 0

    def learn(self, known: _Known) -> None:
        """Take in what the ledger holds now."""
        self.known, self.at_change, self.alone = known.so_far, known.at_change, known.alone
        self.counts = dict(known.so_far.counts)
        self.order = known.so_far.next_place


class _Stale(Exception):
    """The ledger was changed since it was looked at, or was only looked at."""


def open_sheet(ledger: LedgerFile, facts: GameFacts) -> Sheet:
    """A game to be typed in, going on where it stopped if the ledger has it.

    Nothing is stored before the first trip.

    Raises:
        UseError: if something of the game is missing or cannot be, or several games are meant.
    """
    facts = facts.whole()
    with ledger.reading() as con:
        reads = Scoresheets(con)
        found = _meant(facts, reads.games(facts.league, facts.season_key, facts.day))
        if found is not None:
            facts = replace(
                facts,
                home=found.home or facts.home,
                away=found.away or facts.away,
                label=found.label or facts.label,
            )
        if not facts.label:
            facts = replace(facts, label=f"{facts.home} v {facts.away}")
        teams = [team for team in (facts.home, facts.away) if team]
        line_ups = {t: reads.line_up(facts.league, facts.season_key, t) for t in teams}
        source = scored.open_sitting(con, ledger.who, facts.words())
        game = found.id if found is not None else None
        sheet = Sheet(facts, line_ups, source, game, SoFar(), reads.techniques())
        sheet.learn(_look(con, source, game, scored.changes(con)))
    return sheet


def score(ledger: LedgerFile, sheet: Sheet, trip: Trip) -> Scored:
    """Store one trip of a game, or one attempt of practice.

    Raises:
        UseError: naming what cannot be, or what the trip contradicts; nothing is stored then.
    """
    trip.check()
    place = sheet.places.get((written_form(trip.player), written_form(trip.team)))
    if place is not None and sheet.alone and trip.made[0] is not None:
        values = _values(sheet, _rows(sheet, trip))
        done = _append(ledger, sheet, trip, place, values) if values is not None else None
        if done is not None:
            return done
    done = _take(ledger, sheet, trip)
    _look_up(ledger, sheet)
    return done


def take_back(ledger: LedgerFile, sheet: Sheet) -> TakenBack:
    """Take the last trip of the sitting back.

    Raises:
        UseError: if nothing is left, or somebody has tagged what would go.
    """
    if sheet.source is None:
        raise UseError("nothing is typed in this sitting yet: there is nothing to take back")
    with ledger.changing(_DEED) as con:
        now = scored.changes(con)
        step = steps.take_back(con, ledger, sheet.source)
        known = _look(con, sheet.source, step.game_id, now + 1)
        if now != sheet.at_change:
            sheet.places.clear()
    sheet.learn(known)
    return TakenBack(step, *sheet.counts.get(step.person_id, (0, 0)))


def add_line_up(
    ledger: LedgerFile, sheet: Sheet, team: str, shirts: Sequence[tuple[str, str]]
) -> entry.Entered:
    """Tell the ledger who is with a team: number and name, a player each, as one source.

    Raises:
        UseError: if a name or number cannot be; nothing is stored then.
    """
    facts = sheet.facts
    rows = [
        {"player": name, "league": facts.league, "team": team, "season": facts.season}
        | ({"number": number} if number else {})
        for number, name in shirts
    ]
    done = entry.enter(ledger, "players", rows, what=f"line-up of {team}, {facts.season}")
    with ledger.reading() as con:
        sheet.line_ups[team] = Scoresheets(con).line_up(facts.league, facts.season_key, team)
    return done


def _meant(facts: GameFacts, games: Sequence[FoundGame]) -> FoundGame | None:
    """The game of the ledger that is meant: by its label, else by its two teams."""
    if facts.label:
        return next((g for g in games if g.label == facts.label), None)
    pair = {written_form(facts.home), written_form(facts.away)}
    found = []
    for game in games:
        sides = {written_form(n) for n in (game.home, game.away) if n}
        shot = {written_form(n) for n in game.teams}
        if sides == pair or (not sides and shot and shot <= pair):
            found.append(game)
    if len(found) > 1:
        labels = ", ".join(g.label or str(g.id) for g in found)
        raise UseError(
            f"there are {len(found)} games of these teams on that day ({labels}): "
            "say which by its label"
        )
    return found[0] if found else None


def _values(sheet: Sheet, rows: Sequence[Mapping[str, str]]) -> list[dict[str, Any]] | None:
    """Typed columns of records, each value read once; none where one needs the long way."""
    if sheet.words is None:
        return None
    found = []
    for row in rows:
        values: dict[str, Any] = {"given_order": int(row["order"])} if "order" in row else {}
        for name in (n for n in _TYPED if n in row):
            key = (name, row[name])
            if key not in sheet.values:
                sheet.values[key] = _read_one(name, row[name], sheet.words)
            if sheet.values[key] is None:
                return None
            values["clock_s" if name == "clock" else name] = sheet.values[key]
        if "technique" in values:
            values["technique_as_written"] = row["technique"]
        found.append(values)
    return found


def _read_one(name: str, text: str, words: Words) -> Any:
    """One value by the rules of its field; none where it cannot be, or says nothing."""
    schema = next(f for f in resources.schema(_KIND)["fields"] if f["name"] == name)
    if schema.get("coded") and words.look(name, text) is None:
        return None
    context = fields.Context(words, "ymd", ",", entry.NAME)
    return fields.typed(schema, pl.Series([text]), [text], context).values[0]


def _append(
    ledger: LedgerFile, sheet: Sheet, trip: Trip, place: Place, values: list[dict[str, Any]]
) -> Scored | None:
    """The short way; none where the ledger has changed since it was looked at."""
    source = sheet.source
    assert source is not None, "a sitting that typed all of its game is open"
    try:
        with ledger.changing(_DEED, touches=scored.TOUCHES) as con:
            if scored.changes(con) != sheet.at_change:
                raise _Stale
            numbers = scored.append(con, ledger, source, place, values)
    except _Stale:
        return None
    sheet.at_change += 1
    sheet.order += len(values)
    made, of = sheet.counts.get(place.person_id, (0, 0))
    made, of = made + sum(bool(v["made"]) for v in values), of + len(values)
    sheet.counts[place.person_id] = (made, of)
    return Scored(trip, source, tuple(numbers), 0, made, of)


def _take(ledger: LedgerFile, sheet: Sheet, trip: Trip) -> Scored:
    """The long way: names are looked up, records laid over what the ledger holds of the game."""
    with ledger.changing(_DEED) as con:
        now = scored.changes(con)
        if now != sheet.at_change:
            _catch_up(con, ledger, sheet)
        words = read_words(con)
        rows = _rows(sheet, trip)
        reading = read_rows(rows, _KIND, ReadOptions(dates="ymd"), words, entry.NAME)
        if len(reading.rejects):
            raise entry.refusal(_KIND, reading.rejects.row(0, named=True))
        source = sheet.source
        if source is None:
            source = sitting.begin(con, ledger, sheet.facts.words())
        first = sitting.next_line(con, source)
        frame = reading.frame.with_columns((pl.col("line") + first - 1).cast(pl.Int32))
        taken = sitting.take(con, ledger, source, _KIND, frame)
        entry.all_taken(_KIND, taken)
        numbers = taken.lines["attempt_id"].to_list()
        place = scored.place_of(con, numbers[0])
        known = _look(con, source, place.game_id, now + 1)
    sheet.source, sheet.game, sheet.words = source, place.game_id, words
    sheet.values.clear()
    sheet.learn(known)
    sheet.places[written_form(trip.player), written_form(trip.team)] = place
    there = len(numbers) - taken.attempts_stored
    made, of = sheet.counts.get(place.person_id, (0, 0))
    filled = taken.fields_filled
    return Scored(trip, source, tuple(numbers), there, made, of, filled, taken.notes)


def _rows(sheet: Sheet, trip: Trip) -> list[dict[str, str]]:
    """A trip as records; beside what a file brought they have no place, but are laid against it."""
    beside = sheet.known.files and not sheet.alone
    return trip.rows(sheet.facts, None if beside else sheet.order)


def _catch_up(con: DuckDBPyConnection, ledger: LedgerFile, sheet: Sheet) -> None:
    """Take in what somebody else, or another sheet of the same game, has changed."""
    facts, reads = sheet.facts, Scoresheets(con)
    sheet.places.clear()
    if sheet.source is None:
        sheet.source = scored.open_sitting(con, ledger.who, facts.words())
    if sheet.game is None:
        found = _meant(facts, reads.games(facts.league, facts.season_key, facts.day))
        sheet.game = found.id if found is not None else None
    sheet.learn(_look(con, sheet.source, sheet.game, scored.changes(con)))


def _look(con: DuckDBPyConnection, source: int | None, game: int | None, at_change: int) -> _Known:
    """What the ledger holds of a game that a sitting types."""
    if game is None:
        return _Known(SoFar(), at_change, False)
    alone = source is not None and scored.is_alone(con, game, source)
    return _Known(Scoresheets(con).so_far(game), at_change, alone)


def _look_up(ledger: LedgerFile, sheet: Sheet) -> None:
    """Find out who the players of the line-ups are, so that their first trips are quick too.

    Names are looked up as an import would, in a change that is given up: whoever would be new, or
    would part another player in two, is left for the long way.
    """
    wanted = [
        (team, shirt.name)
        for team, shirts in sheet.line_ups.items()
        for shirt in shirts
        if (written_form(shirt.name), written_form(team)) not in sheet.places
    ]
    if not (wanted and sheet.alone and sheet.source) or sheet.looks >= _MOST_LOOKS:
        return
    sheet.looks += 1
    rows = [
        Trip(name, team, (True,)).rows(sheet.facts, at + 1)[0]
        for at, (team, name) in enumerate(wanted)
    ]
    places: dict[tuple[str, str], Place] = {}
    try:
        with ledger.changing(_DEED) as con:
            if scored.changes(con) == sheet.at_change:
                reading = read_rows(rows, _KIND, ReadOptions(dates="ymd"), sheet.words, entry.NAME)
                places = scored.known_places(con, ledger, reading.frame, sheet.source)
            raise _Stale
    except _Stale:
        sheet.places.update(places)
    except LedgerError:
        # The trip is stored: that the next one takes longer is no reason to store it once more.
        return
