"""Can we trust the tags?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ledger.questions import agreement_words, columns
from ledger.questions.answer import Column
from ledger.stats.tag_agreement import LEAST_UNITS, MISSING, Alpha, alpha
from ledger.stats.tag_agreement import agreement as agreement_of

if TYPE_CHECKING:
    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry

# Fields that say how a miss went may be told of misses alone; the others would be of no fair mix.
OF_MISSES = ("miss_depth", "miss_side", "rebound_zone")
FIELDS = (
    *("technique", "first_contact", "contact_height", "contact_side", "down_at_board", "backspin"),
    *OF_MISSES,
)
ONE_TECHNIQUE = (
    "Of attempts agreed to be of one technique nobody can disagree: leave out --technique."
)

COLUMNS = (
    columns.text("tagger_a", "One", "One of two people who watched the same attempts"),
    columns.text("tagger_b", "Other", "The other"),
    columns.number_of("attempts", "Attempts", "attempts", "Attempts both told the technique of"),
    columns.share("agree_share", "Alike", "Of those, told alike"),
    columns.figure("kappa", "Kappa", "", "Agreement beyond chance (Cohen's kappa)"),
    columns.figure("low", "Low", "", "Lower limit of kappa (95 %, games drawn anew)"),
    columns.figure("high", "High", "", "Upper limit of kappa (95 %, games drawn anew)"),
    columns.number_of("alike", "Told alike", "attempts", "Attempts told alike"),
    columns.text("kappa_why", "Why no kappa", "Why there is no kappa"),
    columns.text("low_why", "Why no limits", "Why there are no limits"),
    columns.text("kappa_shown", "Beyond chance", "Kappa with its limits, as shown"),
)
ALPHA_COLUMNS = (
    columns.text("field", "Field", "What was told of the attempts"),
    columns.figure("alpha", "Alpha", "", "Agreement beyond chance (Krippendorff's nominal alpha)"),
    columns.number_of("units", "Attempts", "attempts", "Attempts told by two people or more"),
    columns.number_of("taggers", "People", "", "People who told one of them"),
    columns.figure("low", "Low", "", "Lower limit of alpha (95 %, games drawn anew)"),
    columns.figure("high", "High", "", "Upper limit of alpha (95 %, games drawn anew)"),
    columns.number_of("alike", "Told alike", "attempts", "Attempts on which all told the same"),
    columns.share("agree_share", "Alike", "Of those attempts, told alike by all"),
    columns.text("alpha_why", "Why no alpha", "Why there is no alpha"),
    columns.text("low_why", "Why no limits", "Why there are no limits"),
)
DISPUTED_COLUMNS = (
    columns.number_of("attempt", "Attempt", "", "Its number in the ledger"),
    columns.text("player", "Player", "The shooter"),
    columns.text("game", "Game", "The game, as the file names it"),
    columns.text("values", "What was told", "Who told what"),
    columns.text("field", "Field", "What they differ on"),
    Column("date", "Date", "date", "", "Day of the game"),
    columns.text("league", "League", "The league"),
    columns.text("season", "Season", "The season"),
)


@dataclass(frozen=True, slots=True)
class Calls:
    """What several people told of one field.

    Attributes:
        values: categories, (attempts, people), `MISSING` where one told nothing.
        games: of the attempts, (attempts,).
        people: in the order of the columns.
        words: of the categories.
    """

    values: NDArray[np.int64]
    games: NDArray[np.int64]
    people: tuple[str, ...]
    words: tuple[str, ...]


def answer(inquiry: Inquiry) -> Answer:
    """Agreement of every two people on the technique, of all on every field, and open disputes."""
    if inquiry.cohort.technique:
        return inquiry.answer(ONE_TECHNIQUE, columns.part(COLUMNS, []), _empty_parts())
    asked = inquiry if inquiry.practice_only else inquiry.games_only()
    reads, seed = asked.reads, int(inquiry.options["seed"])
    opinions = reads.agreeing.opinions(asked.scope)
    technique = calls(opinions, "technique")
    pairs = _pairs(technique, seed)
    alphas = {field: _alpha(calls(opinions, field), seed) for field in FIELDS}
    disputed = _disputed(asked, opinions)
    parts = {
        "alpha": columns.part(ALPHA_COLUMNS, [_alpha_row(f, a) for f, a in alphas.items()]),
        **{name: columns.part(DISPUTED_COLUMNS, rows) for name, rows in disputed.items()},
    }
    watched = reads.agreeing.watched(asked.scope)
    told = agreement_words.Told(
        alphas, technique.words, watched, {name: len(rows) for name, rows in disputed.items()}
    )
    return inquiry.answer(
        agreement_words.headline(asked, told),
        columns.part(COLUMNS, pairs),
        parts,
        agreement_words.notes(asked, told, practice=inquiry.practice_only),
        with_focus=False,
    )


def _empty_parts() -> dict[str, Part]:
    return {
        "alpha": columns.part(ALPHA_COLUMNS, []),
        "disputed": columns.part(DISPUTED_COLUMNS, []),
        "disputed_misses": columns.part(DISPUTED_COLUMNS, []),
    }


def calls(opinions: pl.DataFrame, field: str) -> Calls:
    """What was told of one field, attempts by people; tags picked by result tell of misses only.

    Args:
        opinions: as `Agreeing.opinions` gives them.
        field: one of `FIELDS`.
    """
    own = opinions.filter(pl.col(field).is_not_null())
    if field not in OF_MISSES:
        own = own.filter(~pl.col("picked"))
    own = own.unique(["attempt", "tagger"], keep="last", maintain_order=True)
    several = own.filter(pl.len().over("attempt") > 1)
    attempts, row, first = _places(several["attempt"].to_numpy())
    people = several["tagger"].unique().sort()
    words = several[field].unique().sort()
    values = np.full((len(attempts), len(people)), MISSING, dtype=np.int64)
    values[row, _codes(several["tagger"], people)] = _codes(several[field], words)
    games = several["game_id"].to_numpy().astype(np.int64)[first]
    return Calls(values, games, tuple(people.to_list()), tuple(words.to_list()))


def _places(
    values: NDArray[Any],
) -> tuple[NDArray[Any], NDArray[np.int64], NDArray[np.int64]]:
    found, first, places = np.unique(values, return_index=True, return_inverse=True)
    return found, places.astype(np.int64), first.astype(np.int64)


def _codes(values: pl.Series, words: pl.Series) -> NDArray[np.int64]:
    numbers = {word: at for at, word in enumerate(words.to_list())}
    return values.replace_strict(numbers, return_dtype=pl.Int64).to_numpy().astype(np.int64)


def _pairs(technique: Calls, seed: int) -> list[dict[str, Any]]:
    """Every two people who told the technique of one attempt, those with most first."""
    told = technique.values != MISSING
    together = told.T.astype(np.int64) @ told.astype(np.int64)
    rows = []
    for a, b in np.argwhere(np.triu(together, 1) > 0).tolist():
        both = told[:, a] & told[:, b]
        found = agreement_of(
            technique.values[both, a],
            technique.values[both, b],
            technique.games[both],
            seed=seed,
        )
        why, limits_why = _why(found.units, found.alike, found.one_category, found.low, "technique")
        rows.append(
            {
                "tagger_a": technique.people[a], "tagger_b": technique.people[b],
                "attempts": found.units, "alike": found.alike,
                "agree_share": found.alike / found.units,
                "kappa": found.kappa, "low": found.low, "high": found.high,
                "kappa_why": why and f"kappa undefined: {why}", "low_why": limits_why,
                "kappa_shown": agreement_words.with_limits(found.kappa, found.low, found.high),
            }
        )  # fmt: skip
    return sorted(rows, key=lambda r: (-r["attempts"], r["tagger_a"], r["tagger_b"]))


def _why(
    units: int, alike: int, one_category: bool, low: float, field: str
) -> tuple[str | None, str | None]:
    """Why there is no figure, and why no limits."""
    if units == 0:
        why = "no attempt told by two people"
    elif units < LEAST_UNITS:
        why = f"fewer than {LEAST_UNITS} attempts told by both"
    elif one_category:
        why = f"all tags agree on one {field.replace('_', ' ')}"
    else:
        why = ""
    if why:
        return why, why
    if alike == units:
        return None, "told alike throughout: draws of it cannot differ"
    return None, "all attempts are of one game" if np.isnan(low) else None


def _alpha(told: Calls, seed: int) -> Alpha:
    return alpha(told.values, told.games, seed=seed)


def _alpha_row(field: str, found: Alpha) -> dict[str, Any]:
    why, limits_why = _why(found.units, found.alike, found.one_category, found.low, field)
    return {
        "field": field,
        "alpha": None if why else found.alpha,
        "units": found.units,
        "taggers": found.taggers,
        "low": found.low,
        "high": found.high,
        "alike": found.alike,
        "agree_share": found.alike / found.units if found.units else None,
        "alpha_why": why,
        "low_why": limits_why,
    }


def _disputed(inquiry: Inquiry, opinions: pl.DataFrame) -> dict[str, list[dict[str, Any]]]:
    """Attempts whose technique is open, and misses whose depth or side is."""
    found = [_split(opinions, field) for field in ("technique", "miss_depth", "miss_side")]
    split = pl.concat(found)
    numbers = split["attempt"].unique().sort().to_list()
    named = inquiry.reads.agreeing.named(numbers)
    ruled = inquiry.reads.agreeing.ruled(numbers)
    rows = named.with_row_index("place").join(split, on="attempt", how="inner")
    rows = rows.join(ruled, on="attempt", how="left").sort("place", "field")
    settled = pl.lit(False)
    for field in ("miss_depth", "miss_side"):
        settled = settled | ((pl.col("field") == field) & pl.col(field).fill_null(False))
    technique = pl.col("field") == "technique"
    return {
        "disputed": rows.filter(technique, "disputed").to_dicts(),
        "disputed_misses": rows.filter(~technique, ~settled).to_dicts(),
    }


def _split(opinions: pl.DataFrame, field: str) -> pl.DataFrame:
    """Attempts for which no word has more than half of the tags, with who told what."""
    own = opinions.filter(pl.col(field).is_not_null()).sort("attempt", "tagger")
    votes = own.group_by("attempt", field).agg(votes=pl.len())
    most = votes.group_by("attempt").agg(pl.col("votes").max().alias("most"), pl.col("votes").sum())
    open_ = most.filter(2 * pl.col("most") <= pl.col("votes"))
    told = own.join(open_, on="attempt", how="semi", maintain_order="left")
    each = pl.col("tagger") + ": " + pl.col(field)
    return told.group_by("attempt", maintain_order=True).agg(
        each.str.join("; ").alias("values"), pl.lit(field).alias("field")
    )
