"""Screens whose answer can be saved, put into the deck, and copied."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.screens.choosing import ChoosingScreen
from tui.screens.copying import copy_rows
from tui.screens.export import ExportDialog, Wanted
from tui.screens.report_words import way_back
from tui.session import Job

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from tui.session import BookLike, Hears


class ExportingScreen(ChoosingScreen):
    """Hands its answer on: a file, the deck of slides, the clipboard."""

    def action_export(self) -> None:
        if self.answer is None:
            self.tell("there is no answer to save yet")
            return
        answer, theme = self.answer, self.program.chart_theme()

        def save(wanted: Wanted | None) -> None:
            if wanted is not None:
                self.await_job(self._saving(answer, wanted, theme))

        folder = self.program.save_folder()
        self.app.push_screen(ExportDialog(folder / answer.question), save)

    def _saving(self, answer: Answer, wanted: Wanted, theme: str) -> Job:
        """The work of saving, beside the screens."""
        session, path = self.program.session, wanted.path
        template = self.program.settings.template
        if path is None:

            def put(book: BookLike) -> str:
                return book.put_in_deck(answer)

            return session.do(self, "deck", "putting it into the deck", put, keeps=True)

        def save(book: BookLike, hears: Hears) -> Path:
            return save_answer(book, answer, path, (theme, template), hears)

        return session.do_telling(self, "export", f"saving {path.name}", save)

    def done_export(self, job: Job, path: Path) -> None:
        """The file is written."""
        self.program.saved = path
        self.tell_in_front(f"saved {path}; {self.key('copy_path')} copies its path")

    def done_deck(self, job: Job, line: str) -> None:
        """The answer is in the deck."""
        lists, undo = self.key("lists"), self.key("undo")
        self.tell_in_front(way_back(line, f"{lists} saves the slides, {undo} takes it back"))
        self.reread_facts()

    # -- the clipboard ---------------------------------------------------------------------

    def action_copy_path(self) -> None:
        saved = self.program.saved
        if saved is None:
            self.tell(f"nothing was saved yet; {self.key('export')} saves the answer")
            return
        self.program.copy_to_clipboard(str(saved))
        self.tell(f"copied, if the terminal has a clipboard: {saved}")

    def action_copy(self) -> None:
        self.tell(copy_rows(self.program, self.answer, self.rows, as_csv=False))

    def action_copy_csv(self) -> None:
        self.tell(copy_rows(self.program, self.answer, self.rows, as_csv=True))


def save_answer(
    book: BookLike, answer: Answer, path: Path, look: tuple[str, str], hears: Hears
) -> Path:
    """Save an answer as its file's ending says.

    Args:
        book: draws pictures and slides.
        answer: what is saved.
        path: `.csv` for the rows, `.pptx` for a slide, else a picture.
        look: the theme of pictures and slides, and the presentation whose design slides take.
        hears: is told how far it is; raises where it is no longer wanted.

    Returns:
        Where it is.
    """
    ending = path.suffix.lower()
    theme, template = look
    if ending == ".csv":
        from ledger.charts.files import write

        write(path, answer.main.csv().encode())
    elif ending == ".pptx":
        book.export_slide(answer, path, theme=theme, template=template or None)
    else:
        book.export_chart(answer, path, theme=theme, progress=hears)
    return path.resolve()
