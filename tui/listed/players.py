"""Shortlists and lots, and who is on them."""

from __future__ import annotations

from ledger.questions.wording import counted
from tui import figures
from tui.listed.cells import LONG, again_column, again_words, column, day_words, detail_lines
from tui.listed.held import Held, Key, Part
from tui.widgets.columns import EARLY


def lists(held: Held, key: Key) -> Part:
    """The shortlists."""
    rows = tuple(
        {
            "title": one.name,
            "details": "",
            "list": one.name,
            "players": len(one.players),
            "whom": figures.listed([p.player for p in one.players], 4),
            "put": day_words(max((p.put for p in one.players), default=one.made)),
        }
        for one in held.lists
    )
    said = "No list yet: players to keep an eye on."
    if rows:
        said = f"{counted(len(rows), 'list')} of players to keep an eye on."
    helps = (
        f"enter opens a list, {key('add')} makes a new one; {key('keep')} on any screen with "
        "players puts one on a list."
    )
    columns = (
        column("list", "list", least=8),
        column("players", "players", right=True),
        column("whom", "who", least=10, most=LONG, drop=1),
        column("put", "last put", least=10, drop=EARLY + 1),
    )
    return Part("lists", said, helps, rows, columns, "list")


def opened_list(held: Held, name: str, key: Key) -> Part | None:
    """The players of a list; None where there is none of that name any more."""
    one = next((x for x in held.lists if x.name == name), None)
    if one is None:
        return None
    due = {d.number for d in held.due}
    rows = tuple(
        {
            "title": p.player, "player": p.player, "league": p.league, "note": p.note or "",
            "put": day_words(p.put), "source": p.source, "who": p.who or "",
            "decided": "" if p.decision is None else p.decision.choice,
            "again": "" if p.decision is None else again_words(p.decision, due),
            "due": p.decision is not None and p.decision.number in due,
            "details": detail_lines(
                ("League", p.league), ("On the list since", day_words(p.put)), ("By", p.who),
                ("Why", p.note), ("Decided", p.decision and p.decision.choice),
                ("Because", p.decision and p.decision.why),
                ("Look again", p.decision and p.decision.review), ("Source", p.source),
            ),
        }
        for p in one.players
    )  # fmt: skip
    decided = sum(bool(row["decided"]) for row in rows)
    how = f"something is decided about {decided} of them" if decided else "nothing is decided yet"
    said = f"{name}: {counted(len(rows), 'player')}, {how}."
    helps = (
        f"{key('add')} adds a player, {key('drop')} drops the chosen, {key('candidates')} asks who "
        "of them should try it, enter opens the player, esc goes back to the lists."
    )
    columns = (
        column("player", "player", least=8),
        column("league", "league", drop=EARLY + 2),
        column("decided", "decided", least=4),
        again_column(drop=1),
        column("note", "why", least=8, most=LONG, drop=2),
        column("put", "put", least=10, drop=EARLY + 1),
    )
    return Part("lists", said, helps, rows, columns, "list")


def lots(held: Held, key: Key) -> Part:
    """The lots."""
    rows = tuple(
        {
            "title": lot.name, "details": "", "lot": lot.name, "league": lot.league,
            "season": lot.season, "done": f"{lot.done} of {len(lot.players)}",
            "left": lot.unwatched, "frame": lot.frame, "seed": lot.seed, "who": lot.who,
            "when": day_words(lot.at_time), "source": lot.source,
        }
        for lot in held.lots
    )  # fmt: skip
    said = "No lot is drawn yet: players to watch, drawn instead of picked."
    if rows:
        done = sum(not row["left"] for row in rows)
        said = f"{counted(len(rows), 'lot')} of players to watch, {done} watched to the end."
    helps = (
        f"enter opens a lot, {key('watch')} watches it, {key('add')} draws another; a share "
        "of a league is honest only where the watched players were drawn, not picked."
    )
    columns = (
        column("lot", "lot", least=8),
        column("league", "league", drop=EARLY + 2),
        column("season", "season", least=7),
        column("done", "players done", least=12, drop=1),
        column("left", "left to watch", right=True),
        column("frame", "drawn from", least=10, right=True, drop=EARLY + 1),
        column("when", "drawn", least=10, drop=EARLY + 1),
        column("who", "by", drop=EARLY + 3),
    )
    return Part("lots", said, helps, rows, columns, "lot")


def opened_lot(held: Held, name: str, key: Key) -> Part | None:
    """The players of a lot in the order to watch them; None where it is gone."""
    lot = next((x for x in held.lots if x.name == name), None)
    if lot is None:
        return None
    rows = tuple(
        {
            "title": p.player, "place": p.place, "player": p.player, "league": p.league,
            "watched": f"{p.watched} of {p.attempts}", "unclear": p.unclear, "left": p.unwatched,
            "details": detail_lines(
                ("League", p.league), ("Place in the lot", p.place),
                ("Free throws", p.attempts), ("Watched", p.watched),
                ("Looked at without telling, or disputed", p.unclear),
                ("Left to watch", p.unwatched),
            ),
        }
        for p in lot.players
    )  # fmt: skip
    said = (
        f"{name}: {len(lot.players)} of the {counted(lot.frame, 'player')} of {lot.league}, "
        f"{lot.season}, drawn with seed {lot.seed}; {counted(lot.unwatched, 'free throw')} left "
        f"to watch."
    )
    helps = (
        f"{key('watch')} watches them: all of them, in this order. enter opens the player, "
        f"{key('keep')} puts him on a list, esc goes back to the lots."
    )
    columns = (
        column("place", "", right=True),
        column("player", "player", least=8),
        column("watched", "watched", least=9, right=True),
        column("unclear", "cannot tell", right=True, drop=1),
        column("left", "left", right=True),
    )
    return Part("lots", said, helps, rows, columns, "lot")
