"""The cohort: which attempts a question is asked of.

One frozen object that the command line, the terminal program and a notebook all build, that the
store turns into bound SQL, and that says itself in plain words. Names are as a person types them;
the store finds what they mean in one ledger and says "did you mean" where it cannot.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

from ledger.errors import UseError

STAGES = ("regular", "playoff", "cup", "friendly", "practice")
SHOTS = ("free_throw", "two", "three")
BOARD_ASSISTED = "board-assisted"

# The name of a filter outside Python, where it differs from the field's.
_ASKED_AS = {"date_from": "from", "date_to": "to", "list_name": "list"}
_FIELD_OF = {"from": "date_from", "from_": "date_from", "to": "date_to", "list": "list_name"}
_SHOT_WORDS = {"free_throw": "free throws", "two": "twos", "three": "threes"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Cohort:
    """Which attempts are meant; an empty filter does not narrow.

    Attributes:
        league: names of leagues.
        season: season labels, or ranges written `A..B`, both ends included.
        date_from: first calendar day.
        date_to: last calendar day.
        stage: parts of the season; without one, every stage but practice.
        shot: kinds of attempt; without one, free throws.
        team: teams of the shooters.
        opponent: the other teams.
        position: positions in the leagues' own words.
        player: names of players.
        list_name: names of shortlists or lots whose players are meant.
        period: periods of the game.
        technique: agreed techniques.
        spot: places on the floor in the sources' words.
        source: numbers of sources that have seen the attempts.
    """

    league: tuple[str, ...] = ()
    season: tuple[str, ...] = ()
    date_from: date | None = None
    date_to: date | None = None
    stage: tuple[str, ...] = ()
    shot: tuple[str, ...] = ()
    team: tuple[str, ...] = ()
    opponent: tuple[str, ...] = ()
    position: tuple[str, ...] = ()
    player: tuple[str, ...] = ()
    list_name: tuple[str, ...] = ()
    period: tuple[int, ...] = ()
    technique: tuple[str, ...] = ()
    spot: tuple[str, ...] = ()
    source: tuple[int, ...] = ()

    @classmethod
    def of(cls, **filters: Any) -> Cohort:
        """A cohort from loosely typed filters: one value or several, days as dates or ISO text.

        Raises:
            UseError: for an unknown filter, a day that is none, or a word that is no stage or shot.
        """
        known = {f.name for f in fields(cls)}
        values: dict[str, Any] = {}
        for key, value in filters.items():
            name = _FIELD_OF.get(key, key)
            if name not in known:
                raise UseError(f"no filter is called {key!r}: use {', '.join(sorted(FILTERS))}")
            if value is None or value == "" or value == ():
                continue
            values[name] = _read(name, value)
        return cls(**values)

    def asked(self) -> dict[str, Any]:
        """The filters that narrow, by their outside names, in plain JSON types."""
        out: dict[str, Any] = {}
        for f in fields(self):
            value = getattr(self, f.name)
            if value is None or value == ():
                continue
            name = _ASKED_AS.get(f.name, f.name)
            out[name] = value.isoformat() if isinstance(value, date) else list(value)
        return out

    def with_filters(self, **filters: Any) -> Cohort:
        """This cohort with some filters set anew; an empty value takes a filter out."""
        fresh = Cohort.of(**filters)
        changed = {}
        for key in filters:
            name = _FIELD_OF.get(key, key)
            changed[name] = getattr(fresh, name)
        return replace(self, **changed)

    @property
    def shots(self) -> tuple[str, ...]:
        """The kinds of attempt that are meant, the usual one filled in."""
        return self.shot or ("free_throw",)

    @property
    def stages(self) -> tuple[str, ...]:
        """The stages that are meant: all but practice unless practice is named."""
        return self.stage or STAGES[:-1]

    @property
    def whole_seasons(self) -> bool:
        """Whether season totals may fill in: no filter looks inside a season."""
        inside = (self.date_from, self.date_to, self.stage, self.opponent, self.period)
        return not any((*inside, self.technique, self.spot, self.source))

    def sentence(self) -> str:
        """The cohort in plain words, as the line under a screen's title."""
        words = " and ".join(_SHOT_WORDS[s] for s in self.shots)
        out = words[0].upper() + words[1:]
        out += f" in {_listed(self.league)}" if self.league else " in all leagues"
        if self.season:
            out += ", " + _listed(tuple(_range_words(s) for s in self.season))
        if self.date_from:
            out += f", from {self.date_from.isoformat()}"
        if self.date_to:
            out += f", up to {self.date_to.isoformat()}"
        for lead, values in (
            (", only ", self.stage),
            (", players of ", self.team),
            (", against ", self.opponent),
            (", position ", self.position),
            (", by ", self.player),
            (", on the list ", self.list_name),
            (", period ", self.period),
            (", technique ", self.technique),
            (", from the spot ", self.spot),
            (", from source ", self.source),
        ):
            if values:
                out += lead + _listed(tuple(str(v) for v in values))
        return out


FILTERS = tuple(_ASKED_AS.get(f.name, f.name) for f in fields(Cohort))


def split_filters(
    options: Mapping[str, Any], own: Iterable[str] = ()
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Part keyword arguments into those that make a cohort and the rest.

    Args:
        options: all of them.
        own: options of the question; one of them that is also a filter is the question's.
    """
    names = {*FILTERS, *_FIELD_OF, *(f.name for f in fields(Cohort))} - set(own)
    mine = {k: v for k, v in options.items() if k in names}
    return mine, {k: v for k, v in options.items() if k not in names}


def _read(name: str, value: Any) -> Any:
    if name in ("date_from", "date_to"):
        return _day(name, value)
    many = (value,) if isinstance(value, str | int) or not isinstance(value, Iterable) else value
    if name in ("period", "source"):
        return tuple(_number(name, v) for v in many)
    texts = tuple(" ".join(str(v).split()) for v in many)
    allowed = {"stage": STAGES, "shot": SHOTS}.get(name)
    if allowed:
        texts = tuple(t.casefold().replace(" ", "_").replace("-", "_") for t in texts)
        for text in texts:
            if text not in allowed:
                raise UseError(f"{text!r} is no {name}: use {', '.join(allowed)}")
    return texts


def _day(name: str, value: Any) -> date:
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        asked = _ASKED_AS[name]
        raise UseError(f"--{asked} takes a day such as 2024-10-31, not {value!r}") from None


def _number(name: str, value: Any) -> int:
    try:
        return int(value)
    except (TypeError, ValueError):
        raise UseError(f"--{name} takes a whole number, not {value!r}") from None


def _range_words(season: str) -> str:
    first, dots, last = season.partition("..")
    return f"{first} to {last}" if dots else season


def _listed(values: tuple[str, ...]) -> str:
    if len(values) < 2:
        return "".join(values)
    return ", ".join(values[:-1]) + " and " + values[-1]
