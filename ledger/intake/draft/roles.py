"""Which column plays which part: the header proposes, the values of the column decide."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from ledger.intake.draft import evidence, headers, lexicon
from ledger.intake.draft.evidence import Column
from ledger.intake.mapping import header_form
from ledger.intake.words import STARTER, normal_word

# The own field names that mean more than their words do elsewhere.
_OWN = (
    *("player", "player_id", "number", "team", "opponent", "home", "away", "date", "game"),
    *("season", "league", "stage", "period", "clock", "order", "attempt_id", "made", "attempts"),
    *("trip_shot", "trip_of", "trip_kind", "shot", "spot", "rebound_by", "ended_by", "technique"),
    *("first_contact", "contact_height", "contact_side", "down_at_board", "release_angle_deg"),
    *("backspin", "miss_depth", "miss_side", "rebound_zone", "rebound_x_m", "rebound_y_m"),
    *("confidence", "adjudicated", "picked_for", "video_s", "tagger", "nth", "x_m", "y_m"),
    *("position", "height_cm", "mass_kg", "birth_year", "hand", "note"),
)
_FEW_WORDS = 24


@dataclass(slots=True)
class Roles:
    """Meaning to its column, and what was passed over.

    Attributes:
        columns: all columns of the file.
        by: meaning to column.
        rivals: meaning to further columns that could be it.
        by_value: meanings that only the values show, no word of a header.
    """

    columns: tuple[Column, ...]
    by: dict[str, Column] = field(default_factory=dict)
    rivals: dict[str, list[Column]] = field(default_factory=dict)
    by_value: set[str] = field(default_factory=set)

    def get(self, meaning: str) -> Column | None:
        """The column of a meaning."""
        return self.by.get(meaning)

    def part_of(self, column: Column) -> str:
        """The part a column plays, empty where it plays none."""
        return next((part for part, c in self.by.items() if c.place == column.place), "")

    def free(self) -> list[Column]:
        """Filled columns without a part, in the file's order."""
        used = {c.place for c in self.by.values()}
        return [c for c in self.columns if c.place not in used and c.filled]


def _integers(column: Column) -> bool:
    return column.share(evidence.is_integer) >= 0.8


def _small(most: int) -> Callable[[Column], bool]:
    def fits(column: Column) -> bool:
        return column.share(lambda v: evidence.is_integer(v) and float(v) <= most) >= 0.9

    return fits


def _names(column: Column) -> bool:
    # A few players are known by their number only.
    return column.share(evidence.is_name) >= 0.6


def _words_of(name: str) -> Callable[[Column], bool]:
    known = {normal_word(w) for v, ws in STARTER[name].items() for w in (v, *ws)}
    return lambda column: column.share(lambda v: normal_word(v) in known) >= 0.5


def _coded_few(column: Column) -> bool:
    return bool(column.filled) and (
        len(column.counts) <= _FEW_WORDS and not evidence_of_long_texts(column)
    )


def evidence_of_long_texts(column: Column) -> bool:
    """Whether most cells are whole sentences or hold figures beside words."""
    return column.share(lambda v: len(v.split()) > 4) > 0.5


def _clock(column: Column) -> bool:
    return column.share(evidence.is_clock) >= 0.7 or column.share(evidence.is_seconds) >= 0.9


# What the values of a meaning must look like.
_CHECKS: Mapping[str, Callable[[Column], bool]] = {
    "player": _names,
    "family": _names,
    "given": _names,
    "team": lambda c: c.share(evidence.is_name) >= 0.6,
    "opponent": _names,
    "home": _names,
    "away": _names,
    "number": _small(999),
    "date": lambda c: c.share(evidence.is_date) >= 0.6,
    "season": lambda c: c.share(evidence.is_season) >= 0.8,
    "league": _names,
    "stage": _words_of("stage"),
    "period": lambda c: c.share(evidence.is_period) >= 0.8,
    "clock": _clock,
    "elapsed": _clock,
    "period_clock": lambda c: c.share(evidence.is_period_clock) >= 0.7,
    "order": _small(1_000_000),
    "made": _coded_few,
    "attempts": _integers,
    "ft_made": _integers,
    "ft_attempts": _integers,
    "ft_pair": lambda c: c.share(evidence.is_pair) >= 0.4,
    "trip_pair": lambda c: c.share(evidence.is_of) >= 0.7,
    "trip_shot": _small(9),
    "trip_of": _small(9),
    "trip_kind": _words_of("trip_kind"),
    "event": lambda c: len(c.counts) <= 400,
    "subtype": lambda c: len(c.counts) <= 400,
    "shot": lambda c: _words_of("shot")(c) or c.share(lambda v: v in ("1", "2", "3")) >= 0.8,
    "rebound_by": _words_of("rebound_by"),
    "hand": _words_of("hand"),
    "birth_year": _small(2100),
}
# What a header may mean instead where its values do not fit.
_INSTEAD: Mapping[str, tuple[str, ...]] = {
    "clock": ("period_clock", "date"),
    "period_clock": ("clock",),
    "number": ("order",),
    "order": ("number",),
    "trip_pair": ("trip_of", "trip_shot"),
    "trip_shot": ("trip_pair",),
    "games_played": ("game",),
    "game": (),
    "ft": ("ft_pair", "ft_made"),
    "ft_attempts": ("ft_pair",),
    "ft_made": ("ft_pair",),
    "home": ("home_text",),
    "away": ("away_text",),
    "shot": ("event",),
    "made": ("text", "ft_pair"),
}


def assign(columns: Sequence[Column]) -> Roles:
    """Give every column the part its header and values agree on."""
    roles = Roles(tuple(columns))
    own = {header_form(name): name for name in _OWN}
    for column in columns:
        if not column.filled:
            continue
        proposed = own.get(header_form(column.name)) or headers.meaning(column.name)
        if proposed is None and headers.is_percent(column.name):
            proposed = "percent"
        part = _checked(proposed, column) if proposed else None
        if part is None:
            continue
        if part in roles.by:
            roles.rivals.setdefault(part, []).append(column)
        else:
            roles.by[part] = column
    _by_value(roles)
    return roles


def _checked(proposed: str, column: Column) -> str | None:
    for part in (proposed, *_INSTEAD.get(proposed, ())):
        if part == "ft":
            continue
        if part == "games_played" and not _is_count(column):
            continue
        if part in ("home", "away") and _holds_free_throws(column):
            continue
        check = _CHECKS.get(part)
        if check is None or check(column):
            if part == "number" and _is_sequence(column):
                return "order"
            return part
    return None


def _is_count(column: Column) -> bool:
    return _integers(column) and not any(v.startswith("0") and len(v) > 1 for v in column.counts)


def _is_sequence(column: Column) -> bool:
    return len(column.counts) == column.filled > 5 and column.share(evidence.is_integer) == 1.0


def _holds_free_throws(column: Column) -> bool:
    return any(lexicon.FREE_THROW.search(v) for v in column.counts)


def _by_value(roles: Roles) -> None:
    """Parts that values show without a word: only where one column alone can be it."""
    for part, shows in (
        ("date", evidence.is_date),
        ("clock", evidence.is_clock),
        ("period_clock", evidence.is_period_clock),
        ("season", lambda v: evidence.is_season(v) and not v.isdecimal()),
    ):
        if part in roles.by or (part == "clock" and "period_clock" in roles.by):
            continue
        fitting = [c for c in roles.free() if c.share(shows) >= 0.9 and c.filled > 1]
        if len(fitting) == 1 and not headers.meaning(fitting[0].name):
            roles.by[part] = fitting[0]
            roles.by_value.add(part)


def pairs_by_value(roles: Roles) -> list[Column]:
    """Columns of pairs such as `7/9` whose header does not say of what."""
    return [
        c
        for c in roles.columns
        if roles.part_of(c) in ("", "trip_pair", "number", "made")
        and c.share(evidence.is_pair) >= 0.7
        and c.share(evidence.is_date) < 0.5
    ]


def text_columns(roles: Roles) -> list[Column]:
    """Columns whose cells tell events, free throws among them, in the file's order."""
    found = []
    for column in roles.columns:
        if roles.part_of(column) in ("ft_made", "ft_attempts", "ft_pair", "percent", "number"):
            continue
        # A header that is repeated among the rows says nothing.
        if any(says_free_throw(v) for v in column.counts if v != column.name):
            found.append(column)
    return found


def says_free_throw(value: str) -> bool:
    """Whether a cell names a free throw, in words or as a code."""
    return (
        lexicon.FREE_THROW.search(value) is not None
        or lexicon.FREE_THROW_CODE.match(value) is not None
    )
