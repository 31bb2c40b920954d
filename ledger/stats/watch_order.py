"""Which games to watch next, so that most players are decided for the attempts watched.

For an undecided player with f of t tags, M is the number of further tags that would probably
settle his class and P(M) the chance that it does (`technique_class`). With r_i of his attempts
unwatched in a game, the game's score is

    Σ_i min(r_i, M_i) · P(M_i)/M_i  ÷  Σ_i r_i        over undecided players,

players decided per attempt watched. A player whose M is above 200 gives 0, and is watched all the
same. In a plan of several games a player whose M is used up by the games before adds nothing to the
next one. The score counts the first of M tags as much as the last, which is right for an order and
too hopeful for a number: `settled` says how many players a plan decides, in expectation, by the
chance that each is decided after all his attempts in it. A player is left as he is once decided,
or after 60 tags: he mixes.

Assumptions: his tags so far speak for the rest. Looking again and again until a class is called
makes the class a little too ready; see `technique_class` for the true rates.

Common practice, no source.

>>> players = needs([0, 1], [5, 10])
>>> [float(x) for x in scores([0, 0], [0, 1], [4, 6], players).per_attempt.round(5)]
[0.04287]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ledger.stats.technique_class import MOST_TAGS, chance_decided, more_tags_needed

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MIXES = 60


@dataclass(frozen=True, slots=True, eq=False)
class Needs:
    """What undecided players need.

    Attributes:
        more: M, 0 where it is above 200; (players,).
        chance: P(M), 0 where M is above 200; (players,).
    """

    more: Ints
    chance: Floats

    @property
    def per_tag(self) -> Floats:
        """P(M)/M, 0 where M is above 200; (players,)."""
        zero = np.zeros(len(self.more))
        return np.divide(self.chance, self.more, out=zero, where=self.more > 0)


@dataclass(frozen=True, slots=True, eq=False)
class Scores:
    """Games by what watching them would decide; arrays of one length, (games,).

    Attributes:
        attempts: unwatched attempts of undecided players, Σ r.
        players: undecided players with unwatched attempts there.
        decided: players that watching would decide, in expectation.
        per_attempt: the same for each attempt watched.
    """

    attempts: Ints
    players: Ints
    decided: Floats
    per_attempt: Floats


@dataclass(frozen=True, slots=True)
class Dealt:
    """One game of a plan.

    Attributes:
        place: its place in the order that was walked.
        tagger: who watches it, 0 for the first.
    """

    place: int
    tagger: int


def needs(focus: ArrayLike, tagged: ArrayLike) -> Needs:
    """M and P(M) of undecided players, from their tags with the technique and their tags."""
    f, t = np.asarray(focus, dtype=np.float64), np.asarray(tagged, dtype=np.float64)
    more = np.array([m or 0 for m in more_tags_needed(f, t)], dtype=np.int64)
    chance = np.zeros(len(more))
    some = more > 0
    if some.any():
        chance[some] = chance_decided(f[some], t[some], more[some])
    return Needs(more, chance)


def scores(
    game: ArrayLike, player: ArrayLike, unwatched: ArrayLike, players: Needs, games: int = 0
) -> Scores:
    """What each game would decide, watched alone.

    Args:
        game: number of the game of each row, from 0.
        player: number of the player of each row, a place in `players`; each once in a game.
        unwatched: his unwatched attempts there, r.
        players: what each of them needs.
        games: how many games there are at least.
    """
    at, who = np.asarray(game, dtype=np.int64), np.asarray(player, dtype=np.int64)
    r = np.asarray(unwatched, dtype=np.float64)
    attempts = np.bincount(at, weights=r, minlength=games)
    gain = np.minimum(r, players.more[who]) * players.per_tag[who]
    decided = np.bincount(at, weights=gain, minlength=games).astype(np.float64)
    there = np.bincount(at[r > 0], minlength=len(attempts)).astype(np.int64)
    whole = attempts.astype(np.int64)
    per = np.divide(decided, attempts, out=np.zeros(len(attempts)), where=attempts > 0)
    return Scores(whole, there, decided, per)


def deal(
    games: Sequence[tuple[Ints, Ints]],
    players: Needs,
    *,
    taggers: int = 1,
    budget: int | None = None,
    each: int | None = None,
) -> list[Dealt]:
    """Walk games in their order and deal them out, whole, each to who has least so far.

    With a limit, a game that does not fit, or adds nothing to the games before, is passed over.

    Args:
        games: players (places in `players`, each once) and their unwatched attempts, game by game.
        players: what each of them needs.
        taggers: how many people watch.
        budget: attempts that all of them watch together at most; no limit unless given.
        each: attempts that one of them watches at most; no limit unless given.

    Raises:
        ValueError: for no tagger.
    """
    if taggers < 1:
        raise ValueError("somebody has to watch")
    sizes = [int(r.sum()) for _, r in games]
    if budget is None and each is None:
        return _shared_out(sizes, taggers)
    left = players.more.astype(np.float64)
    per_tag, load = players.per_tag, [0] * taggers
    smallest = min(sizes, default=0)
    dealt: list[Dealt] = []
    for place, (who, r) in enumerate(games):
        room, size = _room(load, budget, each), sizes[place]
        if room < smallest:
            break
        used = np.minimum(r, left[who])
        adds = float(used @ per_tag[who])
        if size > room or adds <= 0.0:
            continue
        left[who] -= used
        tagger = load.index(min(load))
        load[tagger] += size
        dealt.append(Dealt(place, tagger))
    return dealt


def settled(games: Sequence[tuple[Ints, Ints]], focus: ArrayLike, tagged: ArrayLike) -> Floats:
    """Players decided, in expectation, by the games of a plan up to each one; (games,).

    Args:
        games: players (places in `focus`) and their attempts, game by game.
        focus: tags with the technique of each player so far.
        tagged: his tags so far.
    """
    f, t = np.asarray(focus, dtype=np.float64), np.asarray(tagged, dtype=np.float64)
    if not games:
        return np.zeros(0)
    who = np.concatenate([w for w, _ in games])
    r = np.concatenate([n for _, n in games])
    game = np.repeat(np.arange(len(games)), [len(w) for w, _ in games])
    order = np.lexsort((game, who))
    who, r, game = who[order], r[order], game[order]
    total = np.cumsum(r)
    first = np.append(True, who[1:] != who[:-1])
    before = (total - r)[first][np.cumsum(first) - 1]
    watched = np.clip(total - before, 1, MOST_TAGS)
    chance = chance_decided(f[who], t[who], watched)
    gain = np.diff(chance, prepend=0.0)
    gain[first] = chance[first]
    found: Floats = np.cumsum(np.bincount(game, weights=gain, minlength=len(games)))
    return found


def _shared_out(sizes: Sequence[int], taggers: int) -> list[Dealt]:
    """Every game, each to who has least so far."""
    load, dealt = [0] * taggers, []
    for place, size in enumerate(sizes):
        tagger = load.index(min(load))
        load[tagger] += size
        dealt.append(Dealt(place, tagger))
    return dealt


def _room(load: Sequence[int], budget: int | None, each: int | None) -> int:
    """Attempts the next game may have, where there is a limit."""
    rooms = [] if budget is None else [budget - sum(load)]
    if each is not None:
        rooms.append(each - min(load))
    return min(rooms)
