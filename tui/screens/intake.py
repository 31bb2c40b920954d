"""A file in: looked at and checked first, stored on a second yes, then its report."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from textual import on

from tui import figures
from tui.actions import bindings_of
from tui.completion import PathSuggester
from tui.mended import Mended, fault_in, may_be_typed, mended_path
from tui.screens.dialogs import PromptDialog, TextDialog
from tui.screens.file_in_hand import FileScreen
from tui.session import Job
from tui.widgets.columns import EARLY, Row, ShownColumn
from tui.widgets.rows import RowsView

if TYPE_CHECKING:
    from ledger.intake.read import Reading

_FIRST = 50
_LONG = 200
# What the ledger makes of a season or technique beside the words of the file.
_DERIVED = ("season_key", "start_year", "unclear", "refused_by")


class IntakeScreen(FileScreen):
    """The rows of the file in hand: what would be stored, what is refused and why."""

    heading = "Bring in a file"
    BINDINGS = bindings_of("intake")

    def __init__(self) -> None:
        super().__init__()
        self._refused_shown = False
        self._copies: list[Path] = []

    # -- rows ------------------------------------------------------------------------------

    def done_preview(self, job: Job, reading: Reading) -> None:
        """The file is read; refused rows are shown first."""
        self._refused_shown = reading.rejects.height > 0
        super().done_preview(job, reading)

    def show_reading(self) -> None:
        """Show the refused rows, or the first records."""
        rows = self.query_one(RowsView)
        rows.whole_by = self.key("row")
        if self._reading is None:
            if rows.frame is not None:
                rows.show(rows.frame.head(0), ())
        elif self._refused_shown:
            rows.show(self._reading.rejects, self._refused_columns(), identity=("line",))
        else:
            frame = self._reading.frame.head(_FIRST)
            named = [c for c in frame.columns if c not in _DERIVED]
            rows.show(frame, tuple(_column(c, i) for i, c in enumerate(named)))

    def _refused_columns(self) -> tuple[ShownColumn, ...]:
        def mends(row: Row) -> str:
            return self.told_here(row["fix"] or "")

        return (*_REFUSED, ShownColumn("what mends it", mends, least=12, most=_LONG))

    def action_listing(self) -> None:
        if self._reading is None:
            self.tell(f"nothing is read yet: {self.key('path')} goes to its path, enter checks it")
            return
        self._refused_shown = not self._refused_shown
        self.show_reading()
        what = "the refused rows" if self._refused_shown else f"the first {_FIRST} records"
        self.tell(f"shown are {what}")

    @on(RowsView.Chosen)
    def action_row(self) -> None:
        row = self.query_one(RowsView).chosen()
        if row is None:
            self.tell("there is no row")
            return
        said = dict(row)
        if "fix" in row:
            said |= {"reason": row["reason"].replace("_", " ")}
            said |= {"fix": self.told_here(row["fix"] or "")}
        lines = [f"{name}: {figures.cell(value)}" for name, value in said.items()]
        self.app.push_screen(TextDialog(f"Line {row['line']}", lines))

    # -- storing ---------------------------------------------------------------------------

    def action_store(self) -> None:
        if self._path is None or self._report is None:
            if self._refusal:
                self.tell(
                    f"the file is refused as it is: {self.key('say_more')} says more about it"
                )
            else:
                self.tell(
                    f"choose a file first: {self.key('path')} goes to its path, enter checks it"
                )
        elif self._stored:
            self.tell(f"it is stored already; {self.key('undo')} takes it back")
        else:
            self.tell("")
            session = self.program.session
            options = self.options()
            self.await_job(session.bring_in(self, self._path, self._kind, options, check=False))

    # -- refused rows ----------------------------------------------------------------------

    def action_mend(self) -> None:
        row = self.query_one(RowsView).chosen() if self._refused_shown else None
        if self._path is None or self._reading is None or row is None:
            self.tell(f"no refused row is chosen; {self.key('listing')} shows them")
            return
        if not may_be_typed(row["record"]):
            saves = f"{self.key('save_refused')} saves it, to be mended with an editor"
            self.tell(f"this row does not fit in a line: {saves}")
            return
        path, reading = self._path, self._reading

        def typed(text: str | None) -> None:
            if text is not None and text != row["record"]:
                target = mended_path(path, self._copies)
                self._copies.append(target)
                mended = Mended(row["line"], row["record"], text)
                job = self.program.session.mend(self, path, reading.encoding, mended, target)
                self.await_job(job)

        header = reading.separator.join(reading.columns)
        where = f"{row['column']}: " if row["column"] else ""
        title = f"Line {row['line']}: {row['reason'].replace('_', ' ')}"
        hints = (header, f"{where}{self.told_here(row['fix'] or '')}")
        columns = [name.strip() for name in reading.columns]
        place = columns.index(row["column"]) if row["column"] in columns else len(columns)
        fault = fault_in(row["record"], row["value"], reading.separator, place)
        self.app.push_screen(PromptDialog(title, row["record"], *hints, part=fault), typed)

    def done_mend(self, job: Job, target: Path) -> None:
        """The copy with the mended row is there: it is the file in hand now."""
        self.take(target, self.said.of_mended_rows())
        self._lead = f"mended in {target.name}, the file itself is as it was; "

    def action_save_refused(self) -> None:
        if self._path is None or self._reading is None or not self._reading.rejects.height:
            self.tell("no row was refused")
            return
        source = self._path

        def typed(text: str | None) -> None:
            if text:
                rejects = Path(text).expanduser()
                self._said[rejects] = self.said.of_refused_rows()
                job = self.program.session.bring_in(
                    self, source, self._kind, self.options(), check=True, rejects=rejects
                )
                self.await_job(job)

        usual = str(source.with_name(f"{source.stem}-refused.csv"))
        self.app.push_screen(
            PromptDialog("Save the refused rows as", usual, suggester=PathSuggester()), typed
        )


def _column(name: str, place: int) -> ShownColumn:
    def words(row: Row) -> str:
        value = row[name]
        return "" if value is None else figures.cell(value)

    return ShownColumn(name, words, least=10, most=18, drop=min(place, EARLY - 1))


_REFUSED = (
    ShownColumn("line", lambda r: str(r["line"]), least=4, most=8, right=True),
    ShownColumn("column", lambda r: r["column"] or "", least=6, most=16),
    ShownColumn("value", lambda r: r["value"] or "", least=5, most=24, drop=1),
    ShownColumn("why", lambda r: r["reason"].replace("_", " "), least=17, most=20),
)
