"""The two teams of a scoresheet beside each other: numbers, names, makes of attempts so far."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from textual import events

from ledger.safe_text import cut, safe, width
from tui.trip_line import Shooter, Teams, candidates
from tui.widgets.canvas import Canvas, CanvasView

if TYPE_CHECKING:
    from tui.styles.themes import Ink

Tally = Mapping[tuple[str, str], tuple[int, int]]
_GAP = 2
# How each side's trips end where both teams have whom the line names.
_ENDS = ("enter", "space")


def seen_of(teams: Teams, side: int, who: str) -> list[Shooter]:
    """Those of a team to be shown: all, or those that what is typed may mean."""
    everybody = [Shooter(side, s.number, s.name) for s in teams.shirts[side]]
    if not who:
        return everybody
    meant = candidates(who, teams)
    if who.isdigit():
        meant += [s for n in (0, 1) for s in _begun(teams, n, who)]
    return [s for s in everybody if s in meant] if meant else everybody


def _begun(teams: Teams, side: int, digits: str) -> list[Shooter]:
    return [
        Shooter(side, s.number, s.name)
        for s in teams.shirts[side]
        if s.number.startswith(digits) and s.number != digits
    ]


def draw(teams: Teams, tally: Tally, who: str, cells: int, lines: int) -> Canvas:
    """Both line-ups; what is typed leaves those it may mean, they stand out.

    Args:
        teams: the two teams.
        tally: made and attempts by name and team.
        who: the number or letters typed so far.
        cells: the width.
        lines: the height, the names of the teams among it.
    """
    canvas = Canvas(cells, lines)
    wide = (cells - _GAP - 2) // 2
    for side in (0, 1):
        left = 1 + side * (wide + _GAP)
        team = teams.names[side]
        made, of = of_team(teams, tally, side)
        whole = f"{made}/{of}" if of else ""
        if width(safe(team)) + len(_ENDS[side]) + 4 + len(whole) > wide:
            # His team's name tells a reader more than a sum that he can see is small.
            whole = ""
        room_of = wide - len(_ENDS[side]) - 3
        canvas.put(left, 0, f"{cut(safe(team), room_of)} ({_ENDS[side]})", "dim")
        canvas.put(left + wide - width(whole), 0, whole, "dim")
        seen = seen_of(teams, side, who)
        ink: Ink = "strong" if who and len(seen) < len(teams.shirts[side]) else "text"
        room = lines - 1
        over = len(seen) - room
        for at, shooter in enumerate(seen[: room - 1 if over > 0 else room]):
            made, of = tally.get((shooter.name, team), (0, 0))
            so_far = f"{made}/{of}" if of else ""
            name = cut(safe(shooter.name), wide - 5 - len(so_far))
            canvas.put(left, at + 1, f"{safe(shooter.number):>3} {name}", ink)
            canvas.put(left + wide - width(so_far), at + 1, so_far, ink)
        if over > 0:
            canvas.put(left, lines - 1, f"    {over + 1} more: tab lists all", "dim")
        if not teams.shirts[side]:
            canvas.put(left, 1, cut("nobody yet: tab adds them", wide), "dim")
    return canvas


def of_team(teams: Teams, tally: Tally, side: int) -> tuple[int, int]:
    """Made and attempts of a team so far."""
    told = [counts for (_, team), counts in tally.items() if team == teams.names[side]]
    return sum(made for made, _ in told), sum(of for _, of in told)


class LineUps(CanvasView):
    """The picture; a click on a player types him.

    Args:
        clicked: takes the player.
    """

    def __init__(
        self,
        clicked: Callable[[Shooter], None],
        *,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(id=id, classes=classes)
        self._clicked = clicked
        self._teams = Teams(("", ""), ((), ()))
        self._tally: Tally = {}
        self._who = ""

    def say(self, teams: Teams, tally: Tally, who: str) -> None:
        """Show other teams, counts, or what is typed now."""
        self._teams, self._tally, self._who = teams, tally, who
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self._teams, self._tally, self._who, cells, lines)

    def on_click(self, event: events.Click) -> None:
        side = int(event.x > self.size.width // 2)
        seen = seen_of(self._teams, side, self._who)
        if 1 <= event.y <= len(seen):
            self._clicked(seen[event.y - 1])
