"""What the words of a result mean: proposed where the trade has one meaning, else asked."""

from __future__ import annotations

from collections.abc import Mapping

from ledger.intake.draft import evidence, lexicon
from ledger.intake.draft.facts import Drafting
from ledger.intake.draft.plan import literal

_MOST = 12
# A word this rare beside usual ones is junk of single rows, not a word of the league.
_RARE = 0.25


def say(d: Drafting, counted: Mapping[str, int], *, unsaid: int = 0, all_one: bool = True) -> None:
    """Write `words.made` for the words of a result, and ask where one may mean two things.

    Args:
        d: the drafting.
        counted: word to rows.
        unsaid: rows without any word, where a blank will stand for a result.
        all_one: ask where every row has one and the same result.
    """
    words = {w: n for w, n in counted.items() if not evidence.is_null(w) or w in ("+", "-")}
    meant = {w: lexicon.result(w) for w in words}
    total = sum(words.values())
    doubtful = [w for w in words if meant[w] is None]
    both = {"yes", "no"} <= set(meant.values())
    rare = sum(words[w] for w in doubtful) <= _RARE * total
    if both and rare and not any(lexicon.DOUBTFUL.search(w) for w in doubtful):
        for word in doubtful:
            d.plan.say("words.made", f"{word}: {words[word]:,} rows; unknown, they are refused")
        doubtful = []
    # Beside a word with two meanings no other word is sure: made of "made" and "attempt".
    for word, count in words.items():
        value = meant[word]
        if value is None:
            continue
        if lexicon.is_usual(word):
            d.plan.say("words.made", f"{word}: {count:,} rows, {value}")
        else:
            d.plan.put("words.made", word, value, f"{count:,} rows")
    if doubtful:
        listed = ", ".join(f"{w} ({words[w]:,} rows)" for w in doubtful[:_MOST])
        hint = "; an attempt may mean a miss" if any(map(lexicon.DOUBTFUL.search, doubtful)) else ""
        d.plan.ask(
            "words.made",
            f"what do these words of the result mean: {listed}{hint}",
            [f'{literal(word)} = "yes or no"' for word in doubtful[:_MOST]],
            ["made"],
        )
        return
    one = {v for v in meant.values() if v is not None}
    if all_one and len(one) == 1 and not unsaid and total >= 20:
        d.plan.ask(
            "words.made",
            f"every one of {total:,} rows has the same result: does the file hold misses too?",
            [],
            ["made"],
        )
