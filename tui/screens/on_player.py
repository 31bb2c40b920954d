"""What can be said about the player of a row, from every screen whose rows name players."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from tui.cohorts import Whom
from tui.screens.dialogs import ConfirmDialog
from tui.screens.form import Form, FormDialog, Told
from tui.screens.player_windows import FORMS, consent_form

if TYPE_CHECKING:
    from textual.app import App

    from tui.widgets.rows import RowsView


# Questions whose answers tell what was written down.
TELLING = {
    "list": ("candidates",),
    "note": ("player",),
    "decision": ("player",),
    "trial": ("trial",),
    "consent": ("trial",),
}


class OnPlayer:
    """A part of a screen with rows: windows about the chosen row's player."""

    if TYPE_CHECKING:
        app: Any[App[Any]]

        @property
        def rows(self) -> RowsView: ...
        def tell(self, line: str, *, trouble: bool = False) -> None: ...
        def key(self, action: str) -> str: ...
        def reread_facts(self) -> None: ...

    def subject(self) -> Whom | None:
        """Whom the chosen row is about; None where it names no player."""
        row = self.rows.chosen()
        return Whom.of(row) if row is not None else None

    def open_window(self, what: str) -> None:
        """Open one of the windows about the player of the chosen row."""
        whom = self.subject()
        if whom is None:
            there = self.rows.count > 0
            words = "this row names no player" if there else "there is no row yet"
            self.tell(words, trouble=not there)
        else:
            self.open_form(FORMS[what](whom))

    def open_form(self, form: Form) -> None:
        """Open a window; what came of it is told when it closes."""
        self.app.push_screen(FormDialog(form), self.take_told)

    def take_told(self, told: Told | None) -> None:
        """Tell what was stored, and what takes it back."""
        if told is None:
            return
        back = f"; source {told.source}, {self.key('undo')} takes it back" if told.source else ""
        self.tell(f"{told.line}{back}")
        if told.source is not None:
            self.after_writing(told.kind)
        if told.about.get("consent") == "none":
            self._offer_consent(told.about)

    def after_writing(self, kind: str) -> None:
        """Something was written down: what is shown may have to be asked anew."""
        self.reread_facts()

    def _offer_consent(self, about: Mapping[str, str]) -> None:
        player, trial = about["player"], about["trial"]

        def decided(yes: bool | None) -> None:
            if yes:
                self.open_form(consent_form(Whom(player, about["league"]), f"the trial {trial}"))

        self.app.push_screen(
            ConfirmDialog(
                f"The trial {trial} is planned. Nobody has agreed to records of {player}'s "
                "practice yet: none will be stored.",
                "Write down now who agrees?",
                yes="write it down",
            ),
            decided,
        )

    # -- actions ---------------------------------------------------------------------------

    def action_keep(self) -> None:
        self.open_window("list")

    def action_note(self) -> None:
        self.open_window("note")

    def action_decide(self) -> None:
        self.open_window("decision")

    def action_plan(self) -> None:
        self.open_window("trial")
