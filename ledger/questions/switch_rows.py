"""A change as a row: its sides, the raw difference, and what is left without the bad start."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ledger.questions.switch_controls import LEAST_CONTROLS
from ledger.stats.before_after import attempts_needed, bad_start
from ledger.stats.intervals import newcombe, wilson

if TYPE_CHECKING:
    from ledger.questions.switch_effects import Start
    from ledger.questions.switches import Effect
    from ledger.stats.before_after import Expected, Gain

FEW_CONTROLS = f"fewer than {LEAST_CONTROLS} comparable players"
NEVER = "no number of attempts would show it: too few attempts before"


def row(effect: Effect, show: int) -> dict[str, Any]:
    """One change as a row.

    Args:
        effect: the change and what it did.
        show: the difference in makes per 100 that the attempts needed would show.
    """
    side, switch = effect.sides, effect.sides.switch
    gradual = switch.shape == "gradual"
    row: dict[str, Any] = {
        "player": side.player,
        "team": side.team,
        "league": side.league,
        "number": switch.number,
        "direction": switch.direction,
        "finding": switch.finding,
        "shape": switch.shape,
        "date": side.day,
        "date_why": side.day_why,
        "date_low": None if gradual else side.day_low,
        "date_high": None if gradual else side.day_high,
        "season": side.season,
        "over_summer": side.over_summer,
        "log_evidence": switch.log_evidence,
        "shuffle_p": switch.shuffle_p,
        "share_before": switch.share_before,
        "share_after": switch.share_after,
        "made_before": side.made_before,
        "attempts_before": side.attempts_before,
        "made_after": side.made_after,
        "attempts_after": side.attempts_after,
        "left_out": side.left_out,
        "claim": effect.claim,
        "claim_why": effect.claim_why,
        "attempts": side.attempts,
        "tagged": side.tagged,
        "coverage": side.tagged / side.attempts,
        "gain_why": effect.why,
        "start_year": side.start_year,
    }
    if switch.finding == "declared":
        row["log_evidence_why"] = "declared: no change was looked for"
    row |= _rate("before", side.made_before, side.attempts_before)
    row |= _rate("after", side.made_after, side.attempts_after)
    if side.why is None:
        row |= _compared(effect)
    else:
        row["placebo_why"] = side.why
    if effect.start is not None and effect.expected is not None and effect.gain is not None:
        row |= _modelled(effect, effect.start, effect.expected, effect.gain, show)
    else:
        row["attempts_needed_why"] = effect.why
    return row


def _rate(when: str, made: int, attempts: int) -> dict[str, float]:
    if not attempts:
        return {}
    limits = wilson(made, attempts)
    return {
        f"rate_{when}": made / attempts,
        f"{when}_low": limits.low,
        f"{when}_high": limits.high,
    }


def _compared(effect: Effect) -> dict[str, Any]:
    side = effect.sides
    raw = newcombe(side.made_after, side.attempts_after, side.made_before, side.attempts_before)
    row: dict[str, Any] = {"raw_gain": side.raw, "raw_low": raw.low, "raw_high": raw.high}
    if effect.placebo is not None and effect.placebo.players >= LEAST_CONTROLS:
        row["placebo_players"] = effect.placebo.players
        row["placebo_as_much"] = effect.placebo.as_much
    else:
        row["placebo_why"] = FEW_CONTROLS
    return row


def _modelled(
    effect: Effect, begun: Start, made: Expected, gain: Gain, show: int
) -> dict[str, Any]:
    side = effect.sides
    needed = attempts_needed(begun.before, show / 100)
    return {
        "expected_after": made.mean,
        "expected_low": made.low,
        "expected_high": made.high,
        "surprise": made.surprise,
        "bad_start_points": 100 * bad_start(begun.before, side.made_before, side.attempts_before),
        "gain": gain.mean,
        "gain_low": gain.low,
        "gain_high": gain.high,
        "chance_of_gain": gain.chance,
        "attempts_needed": needed,
        "attempts_needed_why": None if needed else NEVER,
    }
