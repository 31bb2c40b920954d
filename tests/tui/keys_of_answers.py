"""The keys of the first screens: contents, answers, intake, sources."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot
from textual.widgets import Input

from ledger.cohort import Cohort
from tests.tui.driving import press, rest, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import asked, on
from tests.tui.test_goldens import write_stranger
from tui.app import OffglassApp
from tui.cohorts import Whom
from tui.screens.choices import ChoicesDialog, OptionPrompt
from tui.screens.cohort import CohortEditor
from tui.screens.dialogs import ChoiceDialog, ConfirmDialog, TextDialog
from tui.screens.export import ExportDialog
from tui.screens.file_options import FileOptionsDialog
from tui.screens.find_window import FindDialog
from tui.screens.question import QuestionScreen
from tui.settings import fresh_text
from tui.styles.themes import PLAIN
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView


@on("ranking")
async def cohort(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "f")
    assert isinstance(app.screen, CohortEditor)
    await press(pilot, "type:halma", "right", "enter")
    assert app.meant.now.cohort.league == ("Halma League",)
    assert "Free throws in Halma League" in text_of(app)


@on("ranking")
async def cohort_before(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    first = app.meant.now
    await press(pilot, "f", "type:Kesto Liga", "enter")
    assert app.meant.now != first
    await press(pilot, "backspace")
    assert app.meant.now == first
    assert "all leagues" in text_of(app)
    await press(pilot, "backspace")
    assert "first attempts that were meant" in status_of(app)


@on("ranking")
async def order(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "o", "3")
    assert asked(book)[3] == {"order": "low"}
    # The digit was the choice's and nothing else's.
    assert app.screen.__class__.__name__ == "RankingScreen"


@on("ranking")
async def minimum(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "m")
    assert isinstance(app.screen, OptionPrompt)
    await press(pilot, "ctrl+u", "type:80", "enter")
    assert asked(book)[3] == {"min_attempts": 80}
    assert "players with 80 or more" in text_of(app)
    await press(pilot, "m", "ctrl+u", "type:few", "enter")
    # What cannot be stays typed, and nothing is asked.
    assert "the fewest attempts takes a whole number from 0, not 'few'" in text_of(app)
    assert isinstance(app.screen, OptionPrompt)
    assert asked(book)[3] == {"min_attempts": 80}
    await press(pilot, "ctrl+u", "enter")
    assert asked(book)[3] == {}


@on("ranking")
async def choose(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    told = app.screen.query_one("#told", Words).said[0]
    assert told.startswith("a changes: one row for each player; ordered by the rate allowing")
    await press(pilot, "a")
    assert isinstance(app.screen, ChoicesDialog)
    await press(pilot, "1", "3", "4", "ctrl+u", "type:5", "enter")
    assert "● the first N: 5 (usually 10)" in text_of(app)
    # Nothing is asked before the window closes.
    assert asked(book)[3] == {}
    await press(pilot, "escape")
    assert asked(book)[3] == {"by": "team", "top": 5}
    assert "one row for each team; the first 5" in text_of(app)
    await press(pilot, "a", "f9", "escape")
    assert asked(book)[3] == {}


@on("uptake")
async def by(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "b", "2")
    assert asked(book)[3] == {"by": "team"}


@on("ranking")
async def technique(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "t")
    assert isinstance(app.screen, ChoiceDialog)
    await press(pilot, "4")
    assert asked(book)[2] == ("underhand",)
    assert "studying: underhand" in text_of(app)


@on("ranking")
async def row(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "down", "enter")
    assert isinstance(app.screen, QuestionScreen)
    assert app.screen.question == "player"
    assert app.player == Whom("Bram Tarn", "Halma League", "Fenholt")
    assert asked(book)[1] == Cohort(player=("Bram Tarn",))
    # The attempts that all screens share are as they were, and escape comes back to the row.
    assert app.meant.now.cohort.player == ()
    await press(pilot, "escape")
    assert app.screen.room == "ranking"
    assert app.screen.query_one(RowsView).cursor == 1


@on("ranking")
async def details(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "down", "d")
    assert isinstance(app.screen, TextDialog)
    assert "Bram Tarn" in text_of(app)


@on("ranking")
async def find(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "slash", "type:dravik")
    assert status_of(app).startswith("6 rows found")
    assert app.screen.query_one(RowsView).cursor == 18
    await press(pilot, "enter")
    assert isinstance(app.focused, RowsView)


@on("ranking")
async def find_next(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "n")
    assert "nothing was looked for" in status_of(app)
    await press(pilot, "slash", "type:ilvo", "enter", "n")
    assert app.screen.query_one(RowsView).cursor == 6


@on("ranking")
async def export(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "x")
    assert isinstance(app.screen, ExportDialog)
    await press(pilot, "down", "enter")
    saved = Path.cwd() / "ranking.svg"
    assert ("export_chart", ("ranking", str(saved), "dark")) in book.calls
    assert f"saved {saved}; X copies its path" == status_of(app)
    # Up from the picture is the deck, which needs no name.
    await press(pilot, "x", "up")
    assert "● " in text_of(app)
    assert "the deck needs no name" in text_of(app)
    await press(pilot, "enter")
    assert ("put_in_deck", "ranking") in book.calls
    assert "is slide 1 of the deck" in status_of(app)
    await press(pilot, "x", "up", "up", "enter")
    slide = ("ranking", str(Path.cwd() / "ranking.pptx"), "dark", None)
    assert ("export_slide", slide) in book.calls


@on("ranking")
async def copy_path(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "X")
    assert status_of(app) == "nothing was saved yet; x saves the answer"
    await press(pilot, "x", *["down"] * 5, "enter")
    saved = Path.cwd() / "ranking.csv"
    assert saved.read_text(encoding="utf-8").startswith("rank,player,team")
    await press(pilot, "X")
    assert app.clipboard == str(saved)
    assert status_of(app) == f"copied, if the terminal has a clipboard: {saved}"


@on("ranking")
async def copy(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "y")
    assert "24 rows copied" in status_of(app)
    assert app.clipboard.startswith("Tarn is first after allowing for luck")
    assert "79.2 to 89.6 %" in app.clipboard
    kept = Path(status_of(app).rpartition(": ")[2])
    assert kept.read_text(encoding="utf-8") == app.clipboard


@on("ranking")
async def copy_csv(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "Y")
    assert app.clipboard.startswith("rank,player,team")
    assert len(app.clipboard.splitlines()) == 25


@on("ranking")
async def notes(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "w")
    assert "57 of 94 players count neither way." in text_of(app)


@on("contents")
async def open_(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "down", "enter")
    assert app.screen.__class__.__name__ == "AdoptersScreen"
    await press(pilot, "c", "4")
    assert isinstance(app.screen, QuestionScreen)
    assert app.screen.question == "attempts"


@on("contents")
async def headline(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    assert "enter asks it, a only for its headline" in text_of(app)
    await press(pilot, "end", "a")
    assert app.screen.__class__.__name__ == "ContentsScreen"
    assert asked(book)[0] == "attempts"
    assert "24 records." in text_of(app)
    assert "only for its headline" not in text_of(app)


@on("intake")
async def path(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await _checked(pilot)
    assert isinstance(app.focused, RowsView)
    await press(pilot, "b")
    assert isinstance(app.focused, Input)


@on("intake")
async def kind(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await _checked(pilot)
    await press(pilot, "k", "2")
    assert "box: one row a player and game" in text_of(app)
    # These rows are no box score: the file is refused whole and the screen says so.
    assert "would be stored" not in text_of(app)


@on("intake")
async def store(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "escape", "i", "type:missing.csv", "enter")
    assert "missing.csv" in text_of(app)
    await press(pilot, "escape", "c", "i", "ctrl+u", "type:new.csv", "enter")
    assert "4 rows: 3 would be stored (3 attempts), 1 refused." in text_of(app)
    await press(pilot, "a")
    assert ("import_file", ("new.csv", "attempts", False, None)) in book.calls
    assert "4 rows: 3 stored (3 attempts), 1 refused." in text_of(app)
    assert "stored as source 3; u takes it back" in status_of(app)


@on("intake")
async def listing(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await _checked(pilot)
    assert "there is no such day" in text_of(app)
    await press(pilot, "o")
    assert "Ilvo Tarn" in text_of(app)
    assert "there is no such day" not in text_of(app)


@on("intake")
async def say_more(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    write_stranger(Path("stranger.csv"))
    await press(pilot, "type:stranger.csv", "enter")
    assert "m says it (dates)" in status_of(app)
    await press(pilot, "m")
    assert isinstance(app.screen, FileOptionsDialog)
    assert "may be day first or month first" in text_of(app)
    # The line that the refusal names has the focus.
    await press(pilot, "type:--dates dmy", "enter")
    assert "m says it (word)" in status_of(app)
    assert app.screen.query_one("#sentence", Words).said[0].endswith("said of it: dates dmy")
    await press(pilot, "m", "type:made:ja", "enter")
    assert "write it as FIELD:TEXT=VALUE" in text_of(app)
    await press(pilot, "type:=yes; made:nein=no", "enter")
    assert "2 rows: 2 would be stored (2 attempts)." in text_of(app)
    await press(pilot, "a")
    assert "stored as source 3" in status_of(app)
    # What was said of one file is not said of another.
    await press(pilot, "b", "ctrl+u", "type:new.csv", "enter")
    assert "said of it" not in text_of(app)


@on("intake")
async def mend(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await _checked(pilot)
    before = Path("new.csv").read_text()
    await press(pilot, "d")
    line = app.focused
    assert isinstance(line, Input)
    assert "2024-11-32" in line.value
    # What is at fault is replaced by what is typed.
    await press(pilot, *"2024-11-02", "enter")
    assert "4 rows: 4 would be stored (4 attempts)." in text_of(app)
    assert "mended in new-mended.csv, the file itself is as it was" in status_of(app)
    assert Path("new.csv").read_text() == before
    assert Path("new-mended.csv").read_text() == before.replace("11-32", "11-02")
    await press(pilot, "d")
    assert "no refused row is chosen" in status_of(app)


@on("intake")
async def save_refused(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await _checked(pilot)
    await press(pilot, "z", "enter")
    assert Path("new-refused.csv").exists()
    assert "new-refused.csv" in status_of(app)


@on("sources")
async def bring_back(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "b")
    assert "only a source that was taken back" in status_of(app)
    await press(pilot, "u", "y", "b")
    assert book.sources[1].taken_back is None
    assert ("undo", (2, True, False)) in book.calls


@on("sources")
async def undo(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    book.others_tags = True
    await press(pilot, "down", "u")
    assert isinstance(app.screen, ConfirmDialog)
    assert "halma.csv" in text_of(app)
    await press(pilot, "n")
    assert book.sources[0].taken_back is None
    await press(pilot, "u", "y")
    assert "12 attempts of source 1 carry tags of Oren" in text_of(app)
    await press(pilot, "y")
    assert ("undo", (1, False, True)) in book.calls
    assert "source 1 is taken back" in status_of(app)


@on("ranking")
async def back(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "escape")
    assert app.screen.__class__.__name__ == "ContentsScreen"


@on("ranking")
async def contents(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "c")
    assert app.screen.__class__.__name__ == "ContentsScreen"


@on("contents")
async def intake(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "i")
    assert app.screen.__class__.__name__ == "IntakeScreen"


@on("contents")
async def sources(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "s")
    assert "tags.csv" in text_of(app)


@on("ranking")
async def again(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    book.headline = "Oselo is first now."
    await press(pilot, "r")
    assert "Oselo is first now." in text_of(app)


@on("ranking")
async def theme(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    seen = [app.theme]
    for _ in range(3):
        await press(pilot, "g")
        seen.append(app.theme)
    assert seen == ["offglass-dark", "offglass-light", PLAIN, "offglass-dark"]


@on("ranking")
async def palette(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "p")
    assert isinstance(app.screen, FindDialog)
    await press(pilot, "type:it growing", "enter")
    assert app.screen.__class__.__name__ == "UptakeScreen"


@on("ranking")
async def help_(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "question_mark")
    assert "Change which attempts are meant." in text_of(app)


@on("ranking")
async def settings(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    app.settings_file = Path.cwd() / "config" / "terminal.toml"
    await press(pilot, "question_mark", "end")
    assert "(, makes it)" in " ".join(app.screen.query_one("#text Words", Words).said)
    await press(pilot, "escape", "comma")
    assert "is made, every setting explained in it" in status_of(app)
    assert app.settings_file.read_text(encoding="utf-8") == fresh_text()
    app.settings_file.write_text("theme = 'light'", encoding="utf-8")
    await press(pilot, "comma")
    assert "is there already" in status_of(app)
    assert app.settings_file.read_text(encoding="utf-8") == "theme = 'light'"


@on("ranking")
async def quit_(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await pilot.press("q")
    await pilot.pause()
    assert app.return_value == 0


async def _checked(pilot: Pilot[int]) -> None:
    await press(pilot, "type:new.csv", "enter")
    await rest(pilot)
