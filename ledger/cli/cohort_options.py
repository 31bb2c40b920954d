"""The cohort's options, the same in every command that asks."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import click

from ledger.cli.completion import complete_from_ledger
from ledger.cohort import SHOTS, STAGES

# option, metavar, whether it may be repeated, help
_OPTIONS: tuple[tuple[str, str, bool, str], ...] = (
    ("league", "NAME", True, "Only this league."),
    ("season", "A or A..B", True, "Only this season, or these from A to B."),
    ("from", "DAY", False, "From this day (2024-10-31)."),
    ("to", "DAY", False, "Up to this day."),
    (
        "stage",
        "|".join(STAGES),
        True,
        "Only this part of the season; all but practice unless given.",
    ),
    ("shot", "|".join(SHOTS), True, "This kind of attempt; free throws unless given."),
    ("team", "NAME", True, "Only players of this team."),
    ("opponent", "NAME", True, "Only against this team."),
    ("position", "WORD", True, "Only this position, in the league's own word."),
    ("player", "NAME", True, "Only this player."),
    ("list", "NAME", True, "Only players of this shortlist or lot."),
    ("period", "N", True, "Only this period of the game."),
    ("technique", "NAME", True, "Only attempts with this agreed technique."),
    ("spot", "WORD", True, "Only from this spot, in the source's own word."),
    ("source", "N", True, "Only attempts that this source has seen."),
)
_COMPLETED = {"league", "season", "team", "opponent", "player", "list", "position", "technique"}


def cohort_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the cohort's options and hand it `cohort`, the filters that were given."""

    @functools.wraps(function)
    def with_cohort(**options: Any) -> Any:
        filters = {name: options.pop(f"cohort_{name}") for name, *_ in _OPTIONS}
        return function(cohort={k: v for k, v in filters.items() if v}, **options)

    wrapped: Callable[..., Any] = with_cohort
    for name, metavar, many, text in reversed(_OPTIONS):
        wrapped = click.option(
            f"--{name}",
            f"cohort_{name}",
            metavar=metavar,
            multiple=many,
            help=text,
            shell_complete=complete_from_ledger(name) if name in _COMPLETED else None,
        )(wrapped)
    return wrapped
