"""One player, everything."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult

from ledger.errors import UseError
from ledger.questions.wording import count, counted, percent
from tui.actions import bindings_of
from tui.cohorts import Meant, Whom
from tui.screens.career import career_of
from tui.screens.laid_out import columns_of
from tui.screens.leafing import LeafingScreen
from tui.screens.who import WhoDialog
from tui.session import BookLike, Hears, Job
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView
from tui.widgets.running_rate import RunningRate
from tui.widgets.sections import SectionsLine

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer

_CHANGES = "Changes of his shot:"
_IDENTITY: dict[str, tuple[str, ...]] = {
    "": ("date", "game"),
    "by_season": ("season", "league"),
    "by_technique": ("technique",),
    "switches": ("number",),
    "misses": ("technique", "depth", "side"),
    "notes": ("source", "text"),
    "decisions": ("source", "choice"),
}
_BY_DAY = ("", "by_season", "notes", "decisions")
_NONE = {
    "by_technique": "no watched attempt may give a rate by technique",
    "switches": "no change of his shot is found",
    "misses": "of no miss both depth and side are known",
    "notes": "nothing is written about him",
    "decisions": "nothing is decided about him",
}
# Attempts that are not offered to be watched again, though they are not counted as watched.
_BESIDES = {
    "unclear": "could not be told",
    "disputed": "told differently",
}
_LONG = 200
_WORDS = 16


class PlayerScreen(LeafingScreen):
    """A player's running rate as a picture, and parts of his page to leaf through."""

    kind = "player"
    question = "player"
    heading = "One player, everything"
    BINDINGS = bindings_of("player")

    def to_watch(self) -> tuple[str, dict[str, Any]]:
        """What nobody has watched of this player."""
        whom = self.program.player
        return ("player", {"player": whom.name, "league": whom.league}) if whom else ("", {})

    parts = (
        ("", "games"),
        ("by_season", "seasons"),
        ("by_technique", "techniques"),
        ("switches", "changes"),
        ("misses", "misses"),
        ("notes", "notes"),
        ("decisions", "decided"),
    )
    # One row a place of a miss, whether any went there or not.
    uncounted = frozenset({"misses"})
    written = frozenset({"notes", "decisions"})

    def __init__(self) -> None:
        super().__init__()
        self.add_class("pictured")
        self._asking_who = False

    def compose_answer(self) -> ComposeResult:
        yield Words(classes="facts", id="facts")
        yield RunningRate(id="chart")
        yield SectionsLine(id="parts")
        yield RowsView(id="rows")

    # -- whom ------------------------------------------------------------------------------

    @property
    def whom(self) -> Whom | None:
        """The player who was chosen, else the only one that is asked for."""
        chosen = self.program.player
        asked = self.program.meant.now.cohort.player
        return chosen or (Whom(asked[0]) if len(asked) == 1 else None)

    def meant(self) -> Meant:
        whom = self.whom
        return self.program.meant.now.of_player(whom) if whom else super().meant()

    def _meaning(self) -> object:
        return (super()._meaning(), self.whom)

    def entered(self) -> None:
        if self.whom is not None:
            super().entered()
            return
        self.rows.focus()
        choose = f"{self.key('which')} chooses a player, and enter on a player's row elsewhere"
        self.query_one("#headline", Words).say(f"Nobody is chosen yet: {choose}.")
        if not self._asking_who:
            self.action_which()

    def action_which(self) -> None:
        self._asking_who = True
        self.app.push_screen(WhoDialog(), self._chosen)

    def _chosen(self, name: str | None) -> None:
        if name is not None:
            self.program.player = Whom(name)
            self.part = ""
            self.entered()

    def ask(self, meant: Meant) -> Job:
        """Ask by his name; where it is several players', by what the row said of him too."""
        shared, whom, options = self.program.meant.now, self.whom, dict(self.options)
        if whom is None:
            return super().ask(meant)
        narrower = [meant]
        for apart in (("league",), ("league", "team")):
            found = shared.of_player(whom, told_apart=apart)
            if found not in narrower:
                narrower.append(found)

        def call(book: BookLike, hears: Hears) -> Answer:
            refused: UseError | None = None
            for one in narrower:
                try:
                    return book.ask(
                        "player", focus=one.focus, cohort=one.cohort, progress=hears, **options
                    )
                except UseError as error:
                    refused = refused or error
            assert refused is not None
            raise refused

        session = self.program.session
        return session.do_telling(self, "ask", "counting", call, question="player")

    def subject(self) -> Whom | None:
        """Whoever the page is about, whichever row is chosen."""
        rows = self.answer.part("facts").rows() if self.answer else []
        if self.whom is None or not rows:
            return None
        league = self.whom.league or str(rows[0]["league"] or "")
        return Whom(str(rows[0]["player"]), league.split(", ")[0])

    # -- showing ---------------------------------------------------------------------------

    def show_answer(self, answer: Answer) -> None:
        career = career_of(answer, self.program.meant.now.focus_words())
        chart = self.query_one(RunningRate)
        chart.show(career)
        chart.set_class(not career.drawable, "hidden")
        facts = facts_line(answer)
        line = self.query_one("#facts", Words)
        line.whole_by = self.key("notes")
        line.say(facts)
        line.set_class(not facts, "hidden")
        self.identity = _IDENTITY[self.part]
        super().show_answer(answer)
        empty = answer.frame.height and not self.rows.count
        said = _NONE.get(self.part, "") if empty else ""
        # What was just stored stays said.
        if said or self._news in _NONE.values():
            self.tell(said)

    def rows_of(self, answer: Answer, part: str) -> pl.DataFrame:
        """The newest first, where rows have a day."""
        frame = super().rows_of(answer, part)
        return frame.reverse() if part in _BY_DAY else frame

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        """The picture draws the intervals of the games; words of people take what room there is."""
        if not self.part:
            return columns_of(answer, drawn=False, here=self.told_here)
        return tuple(
            replace(column, most=_LONG, least=_WORDS) if column.sorts in ("text", "why") else column
            for column in super().columns_of(answer)
        )

    def is_marked(self, row: Row) -> bool:
        """Where he does it, a shown rise, a decision that is due: the row's own words say so."""
        if self.part in ("", "misses"):
            return bool(row.get("focus_tags"))
        return row.get("state") == "adopter" or bool(row.get("claim")) or bool(row.get("due"))

    def facts_of(self, answer: Answer) -> tuple[str, ...]:
        said = facts_line(answer)
        return (said, "") if said else ()

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """What became of his shot before all else."""
        return tuple(sorted(answer.notes, key=lambda note: not note.startswith(_CHANGES)))

    def action_row(self) -> None:
        self.action_details()


def facts_line(answer: Answer) -> str:
    """Who he is, as far as it is known; empty where nobody is."""
    rows = answer.part("facts").rows()
    if not rows:
        return ""
    row = rows[0]
    tagged, attempts = row["tagged"], row["attempts"]
    watched = f"watched {count(tagged)} of {counted(attempts, 'attempt')}"
    if tagged:
        watched += f" ({percent(row['coverage'], attempts)})"
    besides = [f"{count(row[name])} {words}" for name, words in _BESIDES.items() if row[name]]
    watched = ", ".join([watched, *besides])
    # A narrow screen has room for the first of it only.
    said = [
        watched,
        row["team"],
        row["league"],
        row["position"],
        f"{row['height_cm']:.0f} cm" if row["height_cm"] else None,
        f"{row['mass_kg']:.0f} kg" if row["mass_kg"] else None,
        f"{row['hand']} hand" if row["hand"] else None,
        f"born {row['birth_year']}" if row["birth_year"] else None,
        row["unknown_why"],
    ]
    return " · ".join(str(part) for part in said if part)
