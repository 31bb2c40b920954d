"""`trial`, `consent`: a practice trial, planned before it starts, and who agreed to its records."""

from __future__ import annotations

import json
import sys
import textwrap
from itertools import groupby
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError
from ledger.safe_text import safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.book import Book
    from ledger.stats.trial_plan import Block
    from ledger.store.trials import Trial

_WIDE = 78


@click.command()
@click.argument("name")
@click.option("--player", metavar="P", help="Whose practice it is.")
@click.option("--techniques", metavar="A,B", help="Two: the usual one, the one that is tried.")
@click.option("--sessions", type=int, metavar="N", help="How many; 12 unless given.")
@click.option(
    "--per-session", type=int, metavar="N", help="Attempts with each in a session; 50 unless given."
)
@click.option(
    "--practice-only", type=int, metavar="N", help="The first so many sessions never count."
)
@click.option("--seed", type=int, metavar="K", help="For the same plan again; drawn unless given.")
@click.option("--league", metavar="NAME", help="Where a name is more than one player's.")
@click.option("--why", metavar="TEXT", help="The reason, where a plan is changed.")
@click.option("--json", "as_json", is_flag=True, help="The plan as JSON.")
@common_options
def trial(
    settings: Settings,
    name: str,
    player: str | None,
    techniques: str | None,
    sessions: int | None,
    per_session: int | None,
    practice_only: int | None,
    seed: int | None,
    league: str | None,
    why: str | None,
    as_json: bool,
) -> int:
    r"""Plan the trial NAME, or show its plan, session by session, on stdout.

    \b
    offglass trial NAME --player P --techniques straight,board --sessions 12 --per-session 50
    offglass trial NAME                          the plan again
    offglass trial NAME --sessions 10 --why TEXT a change, printed with every answer

    The order of blocks is drawn by lot. Practice is then added like games, with stage=practice;
    offglass ask trial --name NAME says how it stands.
    """
    numbers = {"sessions": sessions, "per_session": per_session, "practice_only": practice_only}
    given = {field: value for field, value in numbers.items() if value is not None}
    fixed = {"player": player, "techniques": techniques, "seed": seed, "league": league}
    with settings.open() as book:
        if player is not None and techniques is not None:
            if why is not None:
                raise UseError("a new plan needs no reason: leave --why out")
            planned = book.trial(
                name, player=player, techniques=techniques, seed=seed, league=league, **given
            )
            said = f"{planned.name} is planned with seed {planned.seed}"
        else:
            planned = _known(book, name, fixed)
            said = ""
            if given:
                planned = book.change_trial(name, why=why or "", **given)
                said = f"{planned.name}: its plan is changed, and every answer will say so"
            elif why is not None:
                raise UseError("--why goes with --sessions, --per-session or --practice-only")
        blocks = book.trial_plan(planned)
        back = f"; to take it back: offglass undo {book.last_source()}" if said else ""
    sys.stdout.write(_as_json(planned, blocks) if as_json else _page(planned, blocks))
    if said:
        say(said + back, quiet=settings.quiet)
    return 0


@click.command()
@click.argument("player")
@click.option(
    "--given-by", required=True, type=click.Choice(["player", "guardian"]), help="Who agreed."
)
@click.option("--on", "on", required=True, metavar="DATE", help="The first day it holds for.")
@click.option("--until", metavar="DATE", help="The last day it holds for.")
@click.option("--for", "purpose", required=True, metavar="TEXT", help="What for.")
@click.option("--league", metavar="NAME", help="Where a name is more than one player's.")
@common_options
def consent(
    settings: Settings,
    player: str,
    given_by: str,
    on: str,
    until: str | None,
    purpose: str,
    league: str | None,
) -> int:
    """Write down that somebody agreed to records of PLAYER's practice.

    Without it no record of practice on that day is stored.
    """
    with settings.open() as book:
        done = book.consent(
            player, given_by=given_by, on=on, until=until, purpose=purpose, league=league
        )
    say(done, quiet=settings.quiet)
    return 0


def _known(book: Book, name: str, fixed: dict[str, Any]) -> Trial:
    """The trial of that name, where only its name and its numbers were typed."""
    there = [t.name for t in book.trials()]
    typed = [f"--{option}" for option, value in fixed.items() if value is not None]
    if not any(t.casefold() == name.casefold() for t in there) and (typed or not there):
        raise UseError(
            "a trial needs a player and two techniques: offglass trial NAME --player P "
            "--techniques straight,board"
        )
    planned = book.find_trial(name)
    if typed:
        raise UseError(
            f"{planned.name} is planned already, {typed[0]} of it stays: plan another one, or take "
            "it back (offglass sources lists it)"
        )
    return planned


def _page(trial: Trial, plan: Sequence[Sequence[Block]]) -> str:
    first, last = trial.practice_only + trial.counted // 2, trial.sessions
    lines = [
        f"{trial.name}: {trial.player}, {trial.name_b} beside {trial.name_a}, "
        f"{trial.sessions} sessions of {trial.per_session} each way",
        f"planned {trial.at_time:%Y-%m-%d} by {trial.who}, seed {trial.seed}; looks after session "
        f"{first} and {last}, nothing is called before or between",
        "",
    ]
    for number, blocks in enumerate(plan, start=1):
        aside = " (practice only, not counted)" if number <= trial.practice_only else ""
        lead = f"{number:>3}  "
        text = ", ".join(_runs(trial, blocks)) + aside
        lines += textwrap.wrap(text, _WIDE, initial_indent=lead, subsequent_indent=" " * len(lead))
    return "".join(f"{safe(line)}\n" for line in lines)


def _runs(trial: Trial, blocks: Sequence[Block]) -> list[str]:
    """Blocks of one technique that follow each other, together."""
    return [
        f"{sum(block.attempts for block in run)} {trial.techniques[which]}"
        for which, run in groupby(blocks, key=lambda block: block.technique)
    ]


def _as_json(trial: Trial, plan: Sequence[Sequence[Block]]) -> str:
    body = {
        "trial": trial.name,
        "player": trial.player,
        "techniques": list(trial.techniques),
        "sessions": trial.sessions,
        "per_session": trial.per_session,
        "practice_only": trial.practice_only,
        "seed": trial.seed,
        "planned": trial.at_time.isoformat(sep=" ", timespec="seconds"),
        "plan": [
            {
                "session": number,
                "counted": number > trial.practice_only,
                "blocks": [
                    {"technique": trial.techniques[b.technique], "attempts": b.attempts}
                    for b in blocks
                ],
            }
            for number, blocks in enumerate(plan, start=1)
        ],
    }
    return json.dumps(body, ensure_ascii=False, indent=1) + "\n"
