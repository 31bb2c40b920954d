"""What was written down about players: lists, lots, the rumour, trials, consents, decisions."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import ComposeResult

from ledger.safe_text import safe
from tui.actions import bindings_of
from tui.cohorts import Whom
from tui.listed import Held, Part, held_of, opened, parts_of
from tui.screens.deck_part import DeckPart
from tui.screens.dialogs import TextDialog
from tui.screens.finding import FindingScreen
from tui.screens.form import Told
from tui.screens.league_windows import lot_form, rumour_form
from tui.screens.on_player import OnPlayer
from tui.screens.player_windows import FORMS, done, list_form
from tui.session import Job
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView
from tui.widgets.sections import SectionsLine

if TYPE_CHECKING:
    import polars as pl

    from tui.session import BookLike

_OPENED = ("lists", "lots")
_PART_OF = {
    "list": "lists", "lot": "lots", "rumour": "rumour", "trial": "trials",
    "consent": "consents", "decision": "decisions", "note": "notes", "slide": "slides",
}  # fmt: skip
# What is done only in some parts, and in which; an open list or lot is a part of its own.
_PERSON = frozenset({"keep", "decide", "note", "plan"})
_DONE_IN: dict[str, frozenset[str]] = {
    "lists": frozenset({"add", "candidates"}),
    "open lists": _PERSON | {"add", "drop", "candidates", "consent"},
    "lots": frozenset({"add"}),
    "open lots": _PERSON,
    "rumour": frozenset({"add", "drop"}),
    "trials": frozenset({"add", "consent"}),
    "consents": frozenset({"add", "drop"}),
    "decisions": _PERSON | {"add", "drop"},
    "notes": _PERSON | {"add", "drop"},
    "slides": frozenset({"drop", "save_deck"}),
}
_ONLY_SOMEWHERE = frozenset({"draw_lot", "rumour"}).union(*_DONE_IN.values())
# What tells one row from the others.
_SAME = ("title", "player", "league", "source", "number")


class ListsScreen(DeckPart, OnPlayer, FindingScreen):
    """One table that can be leafed through, part by part."""

    kind = "lists"
    heading = "Lists"
    BINDINGS = bindings_of("lists")

    def __init__(self) -> None:
        super().__init__()
        self.held: Held | None = None
        self._at = 0
        # The list or lot that is open, or nothing.
        self._open = ""

    def compose_body(self) -> ComposeResult:
        yield SectionsLine(id="sections")
        yield Words("…", classes="headline", id="headline")
        yield RowsView(id="rows")
        yield self.find_line()
        yield Words(classes="notes", id="notes")

    def on_mount(self) -> None:
        self.query_one("#sentence", Words).add_class("hidden")

    def to_watch(self) -> tuple[str, dict[str, Any]]:
        """The lot that is open or chosen."""
        part, row = self.part(), self.rows.chosen()
        name = self._open or (row["title"] if row else "")
        is_lot = part is not None and self._parts()[self._at].name == "lots"
        return ("lot", {"name": name}) if is_lot and name else ("", {})

    # -- what is shown ---------------------------------------------------------------------

    def entered(self) -> None:
        """Read what was written down: it is little, and Watch or another process may add to it."""
        if self.focused is None or self.focused.id != "find":
            self.rows.focus()
        if any(job.kind == "held" and job.since is None for job in self.jobs):
            return
        self.await_job(self.program.session.do(self, "held", "reading the lists", held_of))

    def done_held(self, job: Job, held: Held) -> None:
        """It has come; what is due is shown first when the screen is new."""
        first = self.held is None
        self.held = held
        self.trouble_is_over()
        if first and held.due:
            self._at = next(i for i, part in enumerate(self._parts()) if part.name == "decisions")
        self._show()

    def show_part(self, name: str) -> None:
        """Go to a part by its name."""
        names = [part.name for part in self._parts()]
        if name in names:
            self._turn_to(names.index(name))

    def part(self) -> Part | None:
        """The part that is shown, or the list or lot that is open."""
        if self.held is None:
            return None
        part = self._parts()[self._at]
        if not self._open:
            return part
        return opened(self.held, part.name, self._open, self.key) or part

    def _parts(self) -> tuple[Part, ...]:
        return () if self.held is None else parts_of(self.held, self.key)

    def _show(self) -> None:
        part, parts = self.part(), self._parts()
        if part is None:
            return
        if self._open and part in parts:
            self._open = ""
        labels = [p.label() for p in parts]
        if self._open:
            labels[self._at] += f" › {self._open}"
        self.query_one(SectionsLine).say(labels, self._at)
        self.query_one("#headline", Words).say(part.said)
        self.query_one("#notes", Words).say(part.help)
        self.rows.show(
            frame_of(part),
            part.filled(),
            identity=_SAME,
            marked=lambda row: bool(row.get("due")),
            empty=self._nothing(part),
        )
        self.say_keys()

    def _nothing(self, part: Part) -> str:
        if part.add == "slides":
            return f"Nothing stands here yet: {self.key('export')} on an answer puts it here."
        return f"Nothing stands here yet: {self.key('add')} adds something."

    def not_here(self) -> frozenset[str]:
        """What is done in other parts only: its keys are not offered here."""
        parts = self._parts()
        if not parts:
            return frozenset()
        name = f"open {parts[self._at].name}" if self._open else parts[self._at].name
        return _ONLY_SOMEWHERE - _DONE_IN[name]

    def _turn_to(self, number: int) -> None:
        self._at, self._open = number, ""
        self._show()
        self.rows.go(0)

    def action_part(self) -> None:
        self._leaf(1)

    def action_part_before(self) -> None:
        self._leaf(-1)

    def _leaf(self, by: int) -> None:
        if self.held is not None:
            self.tell("")
            self._turn_to((self._at + by) % len(self._parts()))

    @on(SectionsLine.Picked)
    def picked(self, event: SectionsLine.Picked) -> None:
        """A part was clicked."""
        self._turn_to(event.number)

    # -- opening ---------------------------------------------------------------------------

    def action_row(self) -> None:
        part, row = self.part(), self.rows.chosen()
        if part is None:
            self.tell("the lists are being read")
        elif row is None:
            self.tell(self._nothing(part))
        elif self._open:
            self.program.show_player(self.subject())
        elif part.name in _OPENED:
            self._open = row["title"]
            self._show()
            self.rows.go(0)
        elif part.name == "trials":
            self.program.show_asked("trial", name=row["trial"])
        else:
            self.action_details()

    def action_details(self) -> None:
        row = self.rows.chosen()
        if row is None:
            self.tell("there is no row")
        elif not row["details"]:
            self.action_row()
        else:
            self.app.push_screen(TextDialog(row["title"], row["details"].split("\n")))

    def action_back(self) -> None:
        finding = self.focused is not None and self.focused.id == "find"
        if self._open and not finding and not self.jobs:
            name, self._open = self._open, ""
            self._show()
            places = [i for i in range(self.rows.count) if self.rows.row(i)["title"] == name]
            self.rows.go(places[0] if places else 0)
        else:
            super().action_back()

    # -- adding ----------------------------------------------------------------------------

    def subject(self) -> Whom:
        """Whom the chosen row is about; nobody where it names no player: he is typed then."""
        return super().subject() or Whom("")

    def action_add(self) -> None:
        part = self.part()
        if part is None:
            return
        if part.add == "list":
            self.open_form(list_form(Whom(""), self._open))
        elif part.add == "lot":
            self.action_draw_lot()
        elif part.add == "rumour":
            self.action_rumour()
        elif part.add == "slides":
            self.tell(f"{self.key('export')} on an answer puts it into the deck")
        else:
            self.open_form(FORMS[part.add](Whom("")))

    def action_draw_lot(self) -> None:
        meant = self.program.meant.now.cohort
        self.open_form(lot_form(_only(meant.league), _only(meant.season)))

    def action_rumour(self) -> None:
        self.open_form(rumour_form(Whom("")))

    def action_consent(self) -> None:
        self.open_window("consent")

    def after_writing(self, kind: str) -> None:
        """Everything here may have changed; the top line has not."""
        self.program.wrote()
        self.entered()

    def take_told(self, told: Told | None) -> None:
        super().take_told(told)
        if told is not None and told.source is not None:
            self._show_where(told)

    def _show_where(self, told: Told) -> None:
        """Go to the part that something was just added to."""
        name = _PART_OF[told.kind]
        part = self.part()
        if part is not None and part.name != name:
            self.show_part(name)

    # -- taking away -----------------------------------------------------------------------

    def action_drop(self) -> None:
        part, row = self.part(), self.rows.chosen()
        if part is None or row is None:
            self.tell("there is nothing to drop")
        elif part.name == "lists" and self._open:
            name = self._open
            self.store("dropping him", _dropping(name, row["player"], row["league"]))
        elif part.name == "slides":
            self.drop_slide(row["number"])
        elif part.name == "lists":
            self.tell("open the list to drop players; a list whose sources are taken back is gone")
        elif row.get("source") is None:
            self.tell(f"{self.key('sources')} lists what came in; take the source back there")
        else:
            self.confirm_undo({"file": row["title"], "when": row["when"], **row})

    def store(self, words: str, call: Callable[[BookLike], Told]) -> None:
        """Store something without a window."""
        self.await_job(self.program.session.do(self, "told", words, call, keeps=True))

    def done_told(self, job: Job, told: Told) -> None:
        """Something was stored without a window."""
        self.take_told(told)

    # -- asking ----------------------------------------------------------------------------

    def action_candidates(self) -> None:
        part, row = self.part(), self.rows.chosen()
        name = self._open or (row["title"] if row is not None else "")
        if part is None or part.name != "lists" or not name:
            self.tell("choose a list first: it is asked who of its players should try it")
        else:
            self.program.show_asked("candidates", list=name)


def frame_of(part: Part) -> pl.DataFrame:
    """The rows of a part as a table takes them."""
    import polars as pl

    if not part.rows:
        return pl.DataFrame({"title": []}, schema={"title": pl.String})
    return pl.DataFrame(list(part.rows), infer_schema_length=None)


def _dropping(name: str, player: str, league: str) -> Callable[[BookLike], Told]:
    def drop(book: BookLike) -> Told:
        before = book.last_source()
        said = book.shortlist(name, [player], add=False, league=league)
        return done(book, "list", before, safe(said))

    return drop


def _only(values: tuple[Any, ...]) -> str:
    return str(values[0]) if len(values) == 1 else ""
