"""Which attempt of the ledger each record of a batch is.

By the source's own id within the league; else by game, person and kind of shot: at the same place
in the game where both sides know places, else as counts. Everything is set-based on frames, and
the same call serves a file that comes in and the rebuilding of attempts after an undo.

How a game is matched is decided game by game:

* `order`: both sides number their attempts, and in the same way: equal numbers are one attempt.
* `clock`: both sides give period and clock: equal times are one attempt, the first with the first.
* `nth`: both know an order, but not in the same terms: the nth attempt of a player is the nth.
* `counts`: one side knows no order: makes are laid against makes and misses against misses.
"""

from __future__ import annotations

import polars as pl

from ledger.store import trips
from ledger.store.records import TAG_SAYS

PLACE = ["game_id", "person_id", "shot"]
# Two files that number one game differently are recognised by the same makes and misses of every
# player; common practice, no source: below this many attempts that could be chance.
_RENUMBERED_FROM = 8
# Two people stopping one clock; common practice, no source.
_CLOCK_SLACK_S = 3.0
_FITS = (
    *("team_id", "opponent_id", "period", "clock_s", "given_order", "spot", "x_m", "y_m"),
    *("trip_shot", "trip_of", "trip_kind", "ended_by", "rebound_by"),
)
PAIRS = {"rec": pl.Int64(), "attempt_id": pl.Int64(), "how": pl.String(), "clash": pl.Boolean()}
_NO_PAIRS = pl.DataFrame(schema={"rec": pl.Int64, "attempt_id": pl.Int64})


def match(records: pl.DataFrame, state: pl.DataFrame, tags: pl.DataFrame) -> pl.DataFrame:
    """Pair records with attempts; a record without a pair is a new attempt.

    Args:
        records: one row an attempt, with `rec` (its number), `league_id`, `person_id` and the
            columns of a record.
        state: the attempts that are there, as they came in: `attempt_id`, `league_id`,
            `person_id` and the same columns.
        tags: their tags: `attempt_id`, `tagger` and the tag columns.

    Returns:
        `rec`, `attempt_id`, `how`, and `clash`: the two are one attempt but differ in the result,
        or lie against each other only because nothing else is left.
    """
    if state.is_empty() or records.is_empty():
        return pl.DataFrame(schema=PAIRS)
    if "attempt_id" in records.columns:
        records = records.drop("attempt_id")
    records, state = trips.written_only(records), trips.written_only(state)
    # Ties go to what came in first: the order of the rows, for a rebuilt attempt keeps its old id.
    state = state.with_row_index("came")
    pairs = [_by_id(records, state)]
    records, state = rest(records, state, pairs)
    records = records.join(state.select("game_id").unique(), on="game_id", how="semi")
    if records.is_empty():
        return _all(pairs)
    ways = _ways(records, state)
    records, state = records.join(ways, on="game_id"), state.join(ways, on="game_id")
    by_place = records.filter(pl.col("way") != "counts")
    if len(by_place):
        pairs.append(_by_place(by_place, state))
        state = state.join(pairs[-1], on="attempt_id", how="anti")
    by_count = records.filter(pl.col("way") == "counts")
    if len(by_count):
        pairs.append(_by_counts(by_count, state, tags))
    return _all(pairs)


def match_ids(records: pl.DataFrame, state: pl.DataFrame) -> pl.DataFrame:
    """The pairs of `match` that the source's own ids give."""
    return _all([_by_id(records.drop("attempt_id", strict=False), state)])


def match_typed(
    records: pl.DataFrame,
    state: pl.DataFrame,
    tags: pl.DataFrame,
    own: pl.DataFrame | None,
    typed: pl.DataFrame | None,
) -> pl.DataFrame:
    """The pairs of records typed by a person, who does not type one attempt twice.

    Args:
        records: as for `match`.
        state: as for `match`.
        tags: as for `match`.
        own: attempts (`attempt_id`) typed in the same sitting, met by their id only.
        typed: those typed in other sittings, met by their id or their place in the game.
    """
    nothing = state.select("attempt_id").clear()
    own = nothing if own is None else own
    typed = nothing if typed is None else typed
    by_id = match_ids(records, state.join(pl.concat([own, typed]), on="attempt_id", how="semi"))
    left = records.join(by_id, on="rec", how="anti")
    others = state.join(own, on="attempt_id", how="anti")
    placed = left.filter(pl.col("given_order").is_not_null())
    loose = others.join(typed, on="attempt_id", how="semi").filter(pl.col("given_order").is_null())
    found = [by_id, match(placed, others.join(loose, on="attempt_id", how="anti"), tags)]
    taken = pl.concat([typed, *[f.select("attempt_id") for f in found]])
    rest = left.filter(pl.col("given_order").is_null())
    found.append(match(rest, others.join(taken, on="attempt_id", how="anti"), tags))
    return pl.concat(found)


def _all(pairs: list[pl.DataFrame]) -> pl.DataFrame:
    return pl.concat([p.select(list(PAIRS)).cast(pl.Schema(PAIRS)) for p in pairs])


def rest(
    records: pl.DataFrame, state: pl.DataFrame, pairs: list[pl.DataFrame]
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The records and attempts that are in no pair."""
    taken = pl.concat([p.select("rec", "attempt_id") for p in pairs])
    if taken.is_empty():
        return records, state
    return (
        records.join(taken, on="rec", how="anti"),
        state.join(taken, on="attempt_id", how="anti"),
    )


def _by_id(records: pl.DataFrame, state: pl.DataFrame) -> pl.DataFrame:
    old = state.filter(pl.col("file_id").is_not_null())
    found = records.join(
        old.select("league_id", "file_id", "attempt_id").unique(["league_id", "file_id"]),
        on=["league_id", "file_id"],
    )
    return found.select(
        "rec", "attempt_id", pl.lit("id").alias("how"), pl.lit(False).alias("clash")
    )


def _ways(records: pl.DataFrame, state: pl.DataFrame) -> pl.DataFrame:
    """How each game is matched: `game_id`, `way`."""

    def known(frame: pl.DataFrame, mark: str) -> pl.DataFrame:
        clock = pl.col("period").is_not_null() & pl.col("clock_s").is_not_null()
        order = pl.col("given_order").is_not_null()
        return frame.group_by("game_id").agg(
            order.all().alias(f"order_{mark}"),
            clock.all().alias(f"clock_{mark}"),
            (order | clock).all().alias(f"known_{mark}"),
            pl.len().alias(f"n_{mark}"),
        )

    games = known(records, "new").join(known(state, "old"), on="game_id")
    numbered = games.filter("order_new", "order_old")
    games = games.join(_same_numbers(records, state, numbered), on="game_id", how="left")
    orders = pl.col("order_new") & pl.col("order_old")
    clocks = pl.col("clock_new") & pl.col("clock_old")
    same = pl.col("equal_numbers").fill_null(0) * 2 >= pl.min_horizontal("n_new", "n_old")
    way = (
        pl.when(orders & same)
        .then(pl.lit("order"))
        .when(clocks)
        .then(pl.lit("clock"))
        .when(orders & ~pl.col("renumbered").fill_null(False))
        .then(pl.lit("order"))
        .when(pl.col("known_new") & pl.col("known_old"))
        .then(pl.lit("nth"))
        .otherwise(pl.lit("counts"))
    )
    return games.select("game_id", way.alias("way"))


def _same_numbers(records: pl.DataFrame, state: pl.DataFrame, games: pl.DataFrame) -> pl.DataFrame:
    """How many numbers are equal in both, and whether makes and misses are where they differ."""
    new = records.join(games, on="game_id", how="semi")
    old = state.join(games, on="game_id", how="semi")
    equal = (
        new.join(old, on=[*PLACE, "given_order"])
        .group_by("game_id")
        .agg(pl.col("rec").n_unique().alias("equal_numbers"))
    )

    def results(frame: pl.DataFrame, mark: str) -> pl.DataFrame:
        runs = (
            frame.sort("given_order")
            .group_by(PLACE, maintain_order=True)
            .agg(pl.col("made").cast(pl.Int8).cast(pl.String).str.join("").alias("run"))
        )
        return runs.rename({"run": f"run_{mark}"})

    both = results(new, "new").join(results(old, "old"), on=PLACE, how="full", coalesce=True)
    alike = both.group_by("game_id").agg(
        (
            pl.col("run_new").eq_missing(pl.col("run_old")).all()
            & (pl.col("run_new").str.len_chars().sum() >= _RENUMBERED_FROM)
        ).alias("renumbered")
    )
    return alike.join(equal, on="game_id", how="left")


def _by_place(records: pl.DataFrame, state: pl.DataFrame) -> pl.DataFrame:
    found = []
    for way, keys in (
        ("order", [*PLACE, "given_order"]),
        ("clock", [*PLACE, "period", "clock_s"]),
        ("nth", PLACE),
    ):
        new, old = (
            frame.filter(pl.col("way") == way).sort(
                "game_id",
                pl.coalesce("given_order", "clock_order") if way == "nth" else "given_order",
                pl.col("trip_shot"),
                number,
                nulls_last=True,
            )
            for frame, number in ((records, "rec"), (state, "came"))
        )
        if len(new) and len(old):
            pairs = ranked(new, old, keys, ["made"])
            if way == "clock":
                pairs = pl.concat([pairs, _nearly(*rest(new, old, [pairs]))])
            found.append(pairs.with_columns(pl.lit(way).alias("how")))
    if not found:
        return pl.DataFrame(schema=PAIRS)
    pairs = pl.concat(found)
    return pairs.select(
        "rec", "attempt_id", "how", (pl.col("made") != pl.col("made_old")).alias("clash")
    )


def _nearly(new: pl.DataFrame, old: pl.DataFrame) -> pl.DataFrame:
    """Left over on both sides, alike but for a second or two: one attempt timed twice."""
    joined = ranked(new, old, [*PLACE, "period", "made"], ["clock_s", "trip_shot"])
    close = (pl.col("clock_s") - pl.col("clock_s_old")).abs() <= _CLOCK_SLACK_S
    other = (pl.col("trip_shot") != pl.col("trip_shot_old")).fill_null(False)
    alike = joined.filter(close & ~other).select("rec", "attempt_id")
    made = new.select("rec", "made", pl.col("made").alias("made_old"))
    return alike.join(made, on="rec")


def ranked(new: pl.DataFrame, old: pl.DataFrame, keys: list[str], carry: list[str]) -> pl.DataFrame:
    """The kth record of each key beside the kth attempt of it, in the order they stand."""
    left = new.with_columns(pl.int_range(pl.len()).over(keys).alias("k"))
    right = old.with_columns(pl.int_range(pl.len()).over(keys).alias("k"))
    columns = list(dict.fromkeys([*keys, "k", "attempt_id", *carry]))
    joined = left.join(right.select(columns), on=[*keys, "k"], nulls_equal=True, suffix="_old")
    wanted = [c if c in keys else f"{c}_old" for c in carry]
    return joined.select("rec", "attempt_id", *carry, *[w for w in wanted if w not in carry])


def _by_counts(records: pl.DataFrame, state: pl.DataFrame, tags: pl.DataFrame) -> pl.DataFrame:
    """Pairs in games without order; each tagger's records for themselves: their own tags count.

    Only what nobody's record is for certain is laid against what is left over.
    """
    found: list[pl.DataFrame] = []
    # A record without a tag fits any attempt: those with one choose first.
    watched = records.filter(pl.col("tagger").is_not_null())
    untagged = records.filter(pl.col("tagger").is_null())
    for own in [*watched.partition_by("tagger", maintain_order=True), untagged]:
        if own.is_empty():
            continue
        seen = tags.join(own.select("tagger").unique(), on="tagger", how="semi")
        old = state.join(own.select(PLACE).unique(), on=PLACE, how="semi").join(
            seen.select("attempt_id", *TAG_SAYS), on="attempt_id", how="left"
        )
        if old.is_empty():
            continue
        found.append(_laid_together(own, old))
        state = state.join(found[-1], on="attempt_id", how="anti")
    certain = pl.concat(found).with_columns(pl.lit(False).alias("clash")) if found else None
    new = records if certain is None else records.join(certain, on="rec", how="anti")
    new, old = new.sort("rec"), state.sort(pl.col("file_id").is_not_null(), "came")
    clashes = _passes(new, old, [[*PLACE, "made"], PLACE], [])
    doubtful = pl.concat(clashes).with_columns(pl.lit(True).alias("clash"))
    pairs = doubtful if certain is None else pl.concat([certain, doubtful])
    return pairs.select("rec", "attempt_id", pl.lit("counts").alias("how"), "clash")


def _laid_together(new: pl.DataFrame, old: pl.DataFrame) -> pl.DataFrame:
    """Pairs that are one attempt as far as anybody can tell: `rec`, `attempt_id`."""
    held = [c for c in (*_FITS, *TAG_SAYS) if new[c].null_count() < len(new)]
    coarse: list[str] = [c for c in ("trip_shot", "trip_of", "period", "technique_id") if c in held]
    new, old = new.sort("rec"), old.sort(pl.col("file_id").is_not_null(), "came")
    extra: list[list[str]] = [held, coarse, ["technique_id"] if "technique_id" in held else [], []]
    pairs = _passes(new, old, [[*PLACE, "made", *keys] for keys in extra], held)
    new, old = rest(new, old, pairs)
    if len(new) and len(old):
        pairs.append(_pass(new.reverse(), old, [*PLACE, "made"], held))
    return pl.concat(pairs)


def _passes(
    new: pl.DataFrame, old: pl.DataFrame, rounds: list[list[str]], held: list[str]
) -> list[pl.DataFrame]:
    """The pairs of each round in turn, as long as something is left on both sides."""
    pairs = [_NO_PAIRS]
    in_vain: list[str] | None = None
    for keys in rounds:
        if new.is_empty() or old.is_empty():
            break
        if keys == in_vain:
            continue
        pairs.append(_pass(new, old, keys, held))
        new, old = rest(new, old, pairs[-1:])
        in_vain = keys if pairs[-1].is_empty() else None
    return pairs


def _pass(new: pl.DataFrame, old: pl.DataFrame, keys: list[str], held: list[str]) -> pl.DataFrame:
    """One round of laying records against attempts; pairs that cannot be one attempt fall apart."""
    apart = ["file_id", "given_order", "period", "clock_s"]
    carry = list(dict.fromkeys([*apart, *held]))
    carry = [c for c in carry if c not in keys]
    joined = ranked(new, old, keys, carry)
    # A different id, number or time is a different attempt, not a contradicting one.
    bad = pl.lit(False)
    for name in ("file_id", "given_order", *held):
        if name in carry:
            bad = bad | (pl.col(name) != pl.col(f"{name}_old")).fill_null(False)
    if {"period", "clock_s"} <= set(carry):
        both = (pl.col("clock_s").is_not_null() & pl.col("clock_s_old").is_not_null()).fill_null(
            False
        )
        differ = (pl.col("period") != pl.col("period_old")) | (
            pl.col("clock_s") != pl.col("clock_s_old")
        )
        bad = bad | (both & differ.fill_null(False))
    return joined.filter(~bad).select("rec", "attempt_id")
