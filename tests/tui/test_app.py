"""The registry, the settings, the colours, the sizes."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import combinations
from pathlib import Path

import pytest
from textual.keys import _character_to_key
from textual.theme import Theme

from ledger.charts.theme import THEMES as PICTURES
from tests.charts.test_theme import contrast, distance
from tests.tui.driving import press, rest, running, status_of, text_of
from tui import actions
from tui.actions import (
    ACTIONS,
    ALL,
    BY_ID,
    Action,
    actions_of,
    bindings_of,
    gap_of,
    keymap,
    keys_of,
    last_line,
)
from tui.cohorts import Whom
from tui.keys import key_name, with_layouts
from tui.palette import offers_of
from tui.rooms import SCREENS, screen_of
from tui.screens.base import RoomScreen
from tui.screens.question import QuestionScreen
from tui.settings import Settings, fresh_text, read_settings
from tui.styles.cube import LEVELS
from tui.styles.themes import INKS, NAMES, PLAIN, THEMES
from tui.widgets.lines import KeysLine, Words

KINDS: dict[str, type[RoomScreen]] = {
    **{name: type(screen_of(name, name)) for name in SCREENS},
    "question": QuestionScreen,
}


def test_every_screen_has_the_methods_of_its_actions() -> None:
    assert set(KINDS) == set(ALL)
    for kind, screen in KINDS.items():
        for action in actions_of(kind):
            assert callable(getattr(screen, f"action_{action.id}", None)), (kind, action.id)


@pytest.mark.parametrize("kind", ALL)
def test_no_key_of_a_screen_does_two_things(kind: str) -> None:
    keys = [key for action in actions_of(kind) for key in keys_of(action, {}, kind)]
    assert len(keys) == len(set(keys))
    bound = [k for b in bindings_of(kind) for k in b.key.split(",")]  # type: ignore[union-attr]
    assert len(bound) == len(set(bound))


def test_every_letter_has_a_key_beside_it_that_all_keyboards_have() -> None:
    everywhere = {
        "enter", "escape", "backspace", "delete", "tab", "shift+tab", "minus", "equals_sign", "up",
        "pageup",
        "comma", *(f"{lead}f{n}" for lead in ("", "shift+") for n in range(1, 13)), *"0123456789",
    }  # fmt: skip
    for action in ACTIONS:
        # Some letters have none left: they are found under the other layouts.
        elsewhere = len(with_layouts(action.keys)) > len(action.keys)
        assert elsewhere or any(key in everywhere for key in action.keys), action.id


@pytest.fixture
def typing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A screen on which letters are typed: two shared actions and one of its own."""
    shared = [replace(actions.BY_ID[name], where=("ranking", "watch")) for name in SHARED]
    own = Action("tag", ("s", "1"), "tag", "Tag it.", ("watch",))
    monkeypatch.setattr(actions, "ACTIONS", (*shared, own))


SHARED = ("undo", "help", "details", "cohort_before")


@pytest.mark.usefixtures("typing")
def test_where_letters_are_typed_shared_actions_keep_keys_that_write_nothing() -> None:
    keys = {a.id: keys_of(a, {}, "watch") for a in actions_of("watch")}
    assert keys == {
        "undo": ("f7",), "help": ("f1",), "details": (), "cohort_before": ("backspace",),
        "tag": ("s", "1"),
    }  # fmt: skip
    bound = {b.action: b.key for b in bindings_of("watch")}  # type: ignore[union-attr]
    assert (bound["undo"], bound["help"]) == ("f7", "f1")
    assert "details" not in bound
    assert bound["tag"].startswith("s,1,ы")
    shown = [(one.key, one.words) for one in last_line("watch", 80)]
    assert shown == [("F7", "undo"), ("s", "tag"), ("F1", "keys")]


@pytest.mark.usefixtures("typing")
def test_a_letter_of_the_settings_never_reaches_a_screen_where_letters_are_typed() -> None:
    chosen = {"undo": ("s",), "help": ("minus", "f9")}
    known = keymap(chosen)
    ids = {b.action: b.id for b in bindings_of("watch")}  # type: ignore[union-attr]
    assert known.get(ids["undo"] or "") is None
    assert known[ids["help"] or ""] == "f9"
    assert keys_of(actions.ACTIONS[0], chosen, "watch") == ("f7",)
    assert keys_of(actions.ACTIONS[0], chosen, "ranking") == ("s",)


def test_a_key_of_the_settings_is_no_longer_shown_for_another_action() -> None:
    chosen = {"export": ("q", "f9")}
    assert keys_of(actions.BY_ID["quit"], chosen, "ranking") == ("f10",)
    assert keys_of(actions.BY_ID["technique"], chosen, "ranking") == ("t",)
    assert keys_of(actions.BY_ID["quit"], chosen, "intake") == ("q", "f10")


@pytest.mark.parametrize(
    ("typed", "name"),
    [("-", "minus"), ("+", "plus"), (".", "full_stop"), ("/", "slash"), ("@", "at"), ("Y", "Y")],
)
async def test_a_sign_of_the_settings_is_the_key_that_the_terminal_sends(
    typed: str, name: str
) -> None:
    assert key_name(typed) == name
    settings = Settings(keys={"contents": (key_name(typed),)})
    async with running(show="ranking", settings=settings) as (app, pilot, _):
        await pilot.press(_character_to_key(typed))
        await rest(pilot)
        assert app.screen.__class__.__name__ == "ContentsScreen"


@pytest.mark.parametrize(("key", "same"), [("f", "аφㄹ"), ("x", "чχㅌ"), ("q", "йㅂ"), ("Y", "Н")])
def test_the_same_physical_key_works_under_other_layouts(key: str, same: str) -> None:
    assert set(same) <= set(with_layouts((key,)))


async def test_a_cyrillic_key_changes_the_attempts() -> None:
    from tui.screens.cohort import CohortEditor

    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "а")
        assert isinstance(app.screen, CohortEditor)


@pytest.mark.parametrize("cells", [40, 80, 120, 200])
@pytest.mark.parametrize("kind", ALL)
def test_the_last_line_fits_and_always_shows_help_and_quit(kind: str, cells: int) -> None:
    shown = last_line(kind, cells)
    gap = gap_of(cells)
    assert 1 + sum(len(one.key) + 1 + len(one.words) + gap for one in shown) - gap <= cells
    assert len(shown) >= 4
    assert {"help", "quit"} <= {one.action for one in shown}


def test_every_question_of_the_ledger_is_on_the_contents() -> None:
    from ledger.questions.registry import QUESTIONS
    from tui.app import listed_questions

    assert [q.name for q in listed_questions()] == [n for n in QUESTIONS if n != "sources"]
    for name, room in KINDS.items():
        if name in QUESTIONS:
            assert room.heading == QUESTIONS[name].title


def test_keys_of_options_are_on_the_screens_whose_question_has_them() -> None:
    from ledger.questions.registry import QUESTIONS

    for kind, screen in KINDS.items():
        if kind not in QUESTIONS:
            continue
        names = [option.name for option in QUESTIONS[kind].options]
        actions_here = {action.id for action in actions_of(kind)}
        assert issubclass(screen, QuestionScreen)
        assert ("by" in actions_here) == ("by" in names), kind
        assert ("minimum" in actions_here) == any(n.startswith("min_") for n in names), kind


# -- settings --------------------------------------------------------------------------------


def test_a_fresh_settings_file_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "terminal.toml"
    path.write_text(fresh_text(), encoding="utf-8")
    assert read_settings(path) == Settings()
    every = "\n".join(line.removeprefix("# ") for line in fresh_text().splitlines()[1:])
    path.write_text(every, encoding="utf-8")
    read = read_settings(path)
    assert read.trouble == ""
    assert read.keys == {a.id: a.keys for a in ACTIONS}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("theme = 'pink'", "theme is one of dark, light, plain"),
        ("colour = 1", "no setting is called 'colour'"),
        ("[keys]\nfly = 'z'", "no action is called 'fly'"),
        ("[keys]\nexport = 3", "export takes one or more keys"),
        ("[keys]\nexport = 'z'\ncopy = 'z'", "share a key"),
        ("keys = 3", "[keys] holds lines"),
        ("theme = ", "line 1 cannot be read"),
        ("mouse = 'no'", "mouse is true or false"),
        ("who = 3", "who is a text in quotes, not 3"),
        ("[keys]\nexport = ['x', 'hyper']", "export: no key is called 'hyper'"),
    ],
)
def test_a_wrong_setting_is_one_line_and_the_rest_is_used(
    text: str, said: str, tmp_path: Path
) -> None:
    path = tmp_path / "terminal.toml"
    path.write_text(text, encoding="utf-8")
    settings = read_settings(path)
    assert said in settings.trouble
    assert "\n" not in settings.trouble
    assert settings.theme == "dark"


def test_a_line_that_cannot_be_read_takes_no_other_with_it(tmp_path: Path) -> None:
    path = tmp_path / "terminal.toml"
    lines = ["who = 'Mira'", "theme = dark", "mouse = false", "[keys]", "export = [", "quit = 'z'"]
    path.write_text("\n".join(lines), encoding="utf-8")
    settings = read_settings(path)
    assert (settings.who, settings.theme, settings.mouse) == ("Mira", "dark", False)
    assert settings.keys == {"quit": ("z",)}
    assert "line 2 cannot be read" in settings.trouble
    assert "line 5 cannot be read" in settings.trouble


def test_a_file_that_is_no_text_leaves_the_usual_settings(tmp_path: Path) -> None:
    path = tmp_path / "terminal.toml"
    path.write_bytes(b"\xff\xfe theme")
    assert "the usual settings are used" in read_settings(path).trouble


def test_every_setting_is_one_line_of_a_fresh_file() -> None:
    lines = fresh_text().partition("[keys]")[0].splitlines()
    for name in (f.name for f in fields(Settings) if f.name not in ("keys", "trouble")):
        assert sum(line.startswith(f"# {name} = ") for line in lines) == 1, name


async def test_files_are_saved_first_in_the_folder_of_the_settings(tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path), template="house.pptx")
    async with running(show="ranking", settings=settings) as (_, pilot, book):
        await press(pilot, "x", "up", "up", "enter")
        slide = ("ranking", str(tmp_path / "ranking.pptx"), "dark", "house.pptx")
        assert ("export_slide", slide) in book.calls


@pytest.mark.parametrize("kind", ALL)
async def test_help_and_palette_name_every_action_and_every_question(kind: str) -> None:
    name = {"question": "attempts"}.get(kind, kind)
    async with running(size=(120, 36)) as (app, pilot, _):
        app.player = Whom("Tarn")
        app.show(name)
        await rest(pilot)
        if not isinstance(app.screen, RoomScreen):
            # Some screens begin with a window in which something is chosen.
            await press(pilot, "escape")
        screen = app.screen
        assert isinstance(screen, RoomScreen)
        offered = {offer.words for offer in offers_of(app, screen)}
        # Nobody looks for a step to the side by its name.
        steps = {"palette", "back", "part", "part_before", "find_next"}
        assert {a.help.rstrip(".") for a in actions_of(kind) if a.id not in steps} <= offered
        assert not {a.help.rstrip(".") for a in actions_of(kind) if a.id in steps} & offered
        assert {q.title for q in app.questions} <= offered
        await press(pilot, "f1")
        said = " ".join(" ".join(app.screen.query_one("#text Words", Words).said).split())
        for action in actions_of(kind):
            assert " ".join(action.help.split()) in said, action.id


async def test_the_help_says_how_an_action_without_a_key_is_reached() -> None:
    async with running(show="scoresheet", size=(120, 36)) as (app, pilot, _):
        await press(pilot, "f1")
        said = app.screen.query_one("#text Words", Words).said
        assert f"by name      {BY_ID['settings'].help}" in said
        assert "by name: F11 finds an action by its words." in " ".join(said)


def test_a_missing_settings_file_is_no_trouble(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "none.toml") == Settings()


async def test_a_key_of_the_settings_replaces_the_usual_one() -> None:
    settings = Settings(keys={"contents": (key_name("z"),), "help": (key_name(","),)})
    async with running(show="ranking", settings=settings) as (app, pilot, _):
        await press(pilot, "c")
        assert app.screen.__class__.__name__ == "RankingScreen"
        assert ", keys" in app.screen.query_one(KeysLine).render_line(0).text
        await press(pilot, "z")
        assert app.screen.__class__.__name__ == "ContentsScreen"


async def test_trouble_with_the_settings_is_said() -> None:
    async with running(settings=Settings(trouble="terminal.toml: theme is wrong")) as (app, _, _b):
        assert "theme is wrong" in status_of(app)


# -- colours ---------------------------------------------------------------------------------


@pytest.mark.parametrize("theme", ["dark", "light"])
async def test_every_colour_is_one_of_the_cube(theme: str) -> None:
    async with running(show="ranking", settings=Settings(theme=theme)) as (app, pilot, _):
        for key in ("down", "f", "x", "p", "o"):
            await press(pilot, key)
            for strip in app.screen._compositor.render_strips():
                for segment in strip:
                    style = segment.style
                    for color in (style.color, style.bgcolor) if style else ():
                        if color is not None and color.triplet is not None:
                            assert set(color.triplet) <= set(LEVELS), (key, color)
            await press(pilot, *["escape"] * (key != "down"))


async def test_without_colour_nothing_is_coloured_and_the_chosen_row_is_seen() -> None:
    async with running(settings=Settings(theme="plain")) as (app, pilot, _):
        for room in ("contents", "ranking", "uptake"):
            app.show(room)
            await rest(pilot)
            segments = [s for strip in app.screen._compositor.render_strips() for s in strip]
            assert all(not s.style or s.style.color is None for s in segments)
            assert all(not s.style or s.style.bgcolor is None for s in segments)
            assert any(s.style and s.style.reverse for s in segments)


async def test_no_color_in_the_environment_is_respected(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with running(show="ranking") as (app, pilot, _book):
        assert app.theme == PLAIN
        await press(pilot, "g")
        assert app.theme == PLAIN
        assert "NO_COLOR is set" in status_of(app)


@pytest.mark.parametrize(("theme", "ground"), [("dark", "#000000"), ("light", "#ffffff")])
def test_colours_on_the_cube_can_be_read_and_told_apart(theme: str, ground: str) -> None:
    inks = INKS[NAMES[theme]]
    written = [inks.text, inks.dim, inks.mark, *inks.lines, *inks.states.values()]
    for style in written:
        assert style.color is not None
        assert contrast(style.color.name, ground) >= 4.5, style
        assert set(style.color.get_truecolor()) <= set(LEVELS)
    assert inks.chosen.color is not None
    assert inks.chosen.bgcolor is not None
    assert contrast(inks.chosen.color.name, inks.chosen.bgcolor.name) >= 4.5
    names = [style.color.name for style in inks.lines if style.color]
    assert len(names) == 8
    assert min(distance(a, b, "full") for a, b in combinations(names, 2)) >= 0.08
    # Each is still near the colour of the saved picture.
    series = PICTURES[theme].series
    assert max(distance(a, b, "full") for a, b in zip(names, series, strict=True)) < 0.15


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_what_stands_out_has_one_colour_in_screens_and_windows(theme: Theme) -> None:
    mark = INKS[theme.name].mark.color
    assert theme.accent == (theme.foreground if mark is None else mark.name)


# -- sizes -----------------------------------------------------------------------------------


async def test_a_window_that_is_too_small_says_so_and_comes_back() -> None:
    async with running() as (app, pilot, _):
        for room in (*ALL[:4], "intake", "sources"):
            app.show(room)
            await rest(pilot)
            before = text_of(app)
            await pilot.resize_terminal(39, 11)
            await rest(pilot)
            assert text_of(app).strip() == "offglass needs 40×12 cells; this window\nhas 39×11"
            await pilot.resize_terminal(80, 24)
            await rest(pilot)
            assert text_of(app) == before


async def test_resizing_keeps_the_chosen_row_in_view() -> None:
    async with running(show="ranking", size=(120, 40)) as (app, pilot, _):
        await press(pilot, *["down"] * 20)
        await pilot.resize_terminal(40, 12)
        await rest(pilot)
        assert "▸" in text_of(app)


async def test_the_cohort_is_shared_by_all_screens() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "f", "type:Halma League", "enter", "c", "2")
        assert "Free throws in Halma League" in text_of(app)
        await press(pilot, "backspace")
        assert "Free throws in all leagues" in text_of(app)


async def test_a_wrong_day_in_the_editor_is_told_and_nothing_is_lost() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "f", "type:Halma League", *["tab"] * 7, "type:yesterday", "enter")
        text = text_of(app)
        assert "takes a day such as 2024-10-31" in text
        assert "Halma League" in text


async def test_a_file_that_is_there_is_not_replaced_by_one_enter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "ranking.png").write_text("mine", encoding="utf-8")
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "x", "enter")
        assert "is there already" in text_of(app)
        assert (tmp_path / "ranking.png").read_text(encoding="utf-8") == "mine"
        await press(pilot, "enter")
        assert (tmp_path / "ranking.png").read_text(encoding="utf-8") == "picture"


def test_actions_are_named_once() -> None:
    assert len(actions.BY_ID) == len(ACTIONS)
