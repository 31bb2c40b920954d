"""One registry of everything a key can do.

The bindings of the screens, the last line, the help, the palette and the settings file are all
written from it: an action that is not here cannot be reached.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from tui.keys import shown_key, with_layouts, writes

if TYPE_CHECKING:
    from textual.binding import BindingType

ANSWERS = (
    *("ranking", "adopters", "uptake", "switches", "misses", "candidates", "trial", "worth"),
    *("watchlist", "agreement", "player", "question"),
)
ALL = ("contents", *ANSWERS, "intake", "sources", "lists", "scoresheet", "watch")
ROWS = (*ANSWERS, "sources")
# Answers with further tables to leaf through.
LEAVES = (
    *("switches", "misses", "candidates", "trial", "worth", "watchlist", "agreement", "player"),
    "sources",
)
MEANING = ("contents", *ANSWERS)
# Screens on whose rows something can be said about a player.
PEOPLE = (*(k for k in ANSWERS if k not in ("uptake", "worth", "agreement")), "lists")
# Screens on which letters and digits are typed: what other screens have too keeps only keys there
# that write nothing.
TYPING = ("watch", "scoresheet")
# Where a source is what is taken back; where trips are typed it is the last one of them.
SOURCED = tuple(kind for kind in ALL if kind != "scoresheet")


@dataclass(frozen=True, slots=True)
class Action:
    """Something a key does.

    Attributes:
        id: its name in the settings file; the screens' method is `action_<id>`.
        keys: what calls it: a letter, and a key that every keyboard layout has.
        short: the words of the last line; empty where it is not shown there.
        help: one sentence of the help and the palette.
        where: the kinds of screen that have it.
        place: its place in the last line, the smallest first.
        brief: fewer words for a narrow window.
    """

    id: str
    keys: tuple[str, ...]
    short: str
    help: str
    where: tuple[str, ...]
    place: int = 50
    brief: str = ""


ACTIONS: tuple[Action, ...] = (
    Action("cohort", ("f", "f8"), "change attempts", "Change which attempts are meant.",
           MEANING, 1, "attempts"),
    Action("cohort_before", ("backspace",), "", "Go back to the attempts meant before.",
           MEANING),
    Action("order", ("o", "1"), "order", "Choose what the rows are ordered by.", ROWS, 2),
    Action("minimum", ("m", "2"), "minimum", "Leave out rows with fewer attempts than a number.",
           ("ranking", "adopters", "switches"), 6),
    Action("by", ("b", "3"), "by", "Choose what one row stands for.",
           ("ranking", "uptake", "misses"), 8),
    Action("technique", ("t", "f9"), "technique", "Choose the technique that is studied.",
           MEANING, 9),
    Action("choose", ("a", "4"), "choices",
           "See and change everything that the question is told.", ANSWERS, 7),
    Action("row", ("enter",), "open",
           "Open the row: the player where it names one, else everything of it.",
           (*ROWS, "intake", "lists"), 3),
    Action("details", ("d", "5"), "details", "Show everything of the row.",
           (*ROWS, "lists"), 10),
    Action("which", ("b", "3"), "another", "Choose which player, or which trial.",
           ("player", "trial"), 4),
    Action("part", ("tab", "right", "right_square_bracket"), "other tables",
           "Go to the next part: the tables of an answer, or lists, lots, rumour, trials and more.",
           (*LEAVES, "lists"), 3, "tables"),
    Action("part_before", ("shift+tab", "left", "left_square_bracket"), "",
           "Go to the part before.", (*LEAVES, "lists")),
    Action("find", ("slash", "6"), "find", "Find rows by typing part of a name.",
           (*ROWS, "lists"), 11),
    Action("find_next", ("n", "7"), "", "Go to the next row that was found.",
           (*ROWS, "lists")),
    Action("settle", ("equals_sign",), "settle",
           "Settle the technique of the chosen attempt in dispute.", ("agreement",), 3),
    Action("export", ("x", "8"), "export",
           "Save the answer: a picture, a slide, its rows; or put it into the deck.", ROWS, 4),
    Action("copy_path", ("X",), "", "Copy the path of the file that was saved last.", ROWS),
    Action("copy", ("y", "9"), "copy", "Copy the rows as text.", ROWS, 12),
    Action("copy_csv", ("Y",), "", "Copy the rows as CSV.", ROWS),
    Action("notes", ("w", "0"), "notes", "Read all notes of the answer.", ROWS, 10),
    Action("keep", ("k",), "on a list", "Put the player of the row on a list.", PEOPLE, 6),
    Action("decide", ("j",), "decide",
           "Write down what is decided about the player of the row: try, wait or stop.",
           PEOPLE, 14),
    Action("note", ("h",), "note",
           "Write down what a number cannot say about the player of the row.", PEOPLE, 15),
    Action("plan", ("z",), "trial", "Plan a trial in practice for the player of the row.",
           PEOPLE, 16),
    Action("add", ("a", "f9"), "add",
           "Add to this part: a list or a player on it, a lot, a rumour, a trial, a decision, …",
           ("lists",), 1),
    Action("candidates", ("t", "4"), "who should try it",
           "Ask who of the chosen list should try it.", ("lists",), 12, "who tries"),
    Action("drop", ("minus", "delete", "0"), "drop",
           "Drop the player from the open list; elsewhere take back what stored the row.",
           ("lists",), 6),
    Action("consent", ("w",), "consent",
           "Write down who agreed to records of a player's practice.", ("lists",), 17),
    Action("draw_lot", ("o",), "draw a lot", "Draw players of a league to watch.",
           ("lists",), 18),
    Action("save_deck", ("x", "8"), "save the slides",
           "Save the slides that were put aside, or the usual ones, as a deck.", ("lists",), 20),
    Action("slide_up", ("less_than_sign", "9"), "", "Move the chosen slide up.", ("lists",)),
    Action("slide_down", ("greater_than_sign", "3"), "", "Move the chosen slide down.",
           ("lists",)),
    Action("rumour", ("m",), "rumour", "Store what raised the question.", ("lists",), 19),
    Action("open", ("enter",), "open", "Ask the chosen question; a digit asks that of its number.",
           ("contents",), 2),
    Action("headline", ("a",), "headline",
           "Ask the chosen question here: its headline comes into its line.", ("contents",), 3),
    Action("path", ("b", "1"), "file", "Choose the file again.", ("intake",), 2),
    Action("kind", ("k", "3"), "kind", "Say what kind of file it is.", ("intake",), 3),
    Action("say_more", ("m", "6"), "say more",
           "Say what the file does not: columns, words, dates, letters, who watched.",
           ("intake",), 3, "more"),
    Action("mend", ("d", "7"), "mend a row",
           "Type the chosen refused row right, in a copy of the file.", ("intake",), 2,
           "mend"),
    Action("store", ("a", "f9"), "store it", "Store the checked file.", ("intake",), 1,
           "store"),
    Action("save_refused", ("z", "2"), "save refused",
           "Save the refused rows as a CSV that can be mended and brought in.", ("intake",), 4),
    Action("listing", ("o", "4"), "rows or refused", "Show the refused rows, or the first records.",
           ("intake",), 5),
    Action("bring_back", ("b", "2"), "bring back", "Bring back the chosen source.",
           ("sources",), 4),
    Action("undo", ("u", "f7"), "undo",
           "Take back a source: the chosen one on Sources, else the last.", SOURCED, 5),
    Action("take_back", ("f7", "ctrl+z"), "take back", "Take back the last trip, or shot.",
           ("scoresheet",), 2),
    Action("sheet", ("f8",), "game", "Choose the game, or the practice session, that is typed in.",
           ("scoresheet",), 1),
    Action("line_ups", ("tab",), "line-ups", "Add players to the line-ups.", ("scoresheet",), 3),
    Action("period", ("f9", "pagedown"), "next period", "Go on to the next period of the game.",
           ("scoresheet",), 4, "period"),
    Action("period_before", ("pageup",), "", "Go back to the period before.", ("scoresheet",)),
    Action("retype", ("up",), "", "Bring back a line that was not stored, or was put aside.",
           ("scoresheet",)),
    Action("back", ("escape",), "", "Stop the work that runs; else go back.", ALL),
    Action("contents", ("c", "f2"), "contents", "Go to the contents.", ALL, 30),
    Action("intake", ("i", "f3"), "add a file", "Bring in a file.", ALL, 7),
    Action("sources", ("s", "f4"), "sources", "See what came in, and take it back.", ALL, 25),
    Action("lists", ("l", "f12"), "lists",
           "See lists, lots, the rumour, trials, consents, decisions and notes.", ALL, 26),
    Action("scoresheet", ("e",), "scoresheet",
           "Type in a game trip by trip, or a practice session of a trial.", ALL, 31),
    Action("watch", ("v",), "watch", "Watch attempts, one after another: the tagging.", ALL, 32),
    Action("step_back", ("u", "backspace"), "step back",
           "Take back the last step: of the attempt in hand, else the last attempt.",
           ("watch",), 1, "back"),
    Action("run_back", ("U",), "", "Take back all that was typed without a pause.", ("watch",)),
    Action("further", ("plus", "f8"), "more of it",
           "Say more of the attempt in hand: backboard, height, angle, film time, note.",
           ("watch",), 2, "more"),
    Action("later", ("n",), "later", "Leave the attempt for later.", ("watch",), 3),
    Action("wrong", ("m",), "record wrong",
           "The record is wrong: put right the shooter or the result.", ("watch",), 4, "wrong"),
    Action("queue", ("o", "f9"), "what to watch",
           "Choose what to watch: the watch list, a lot, a game, a player, misses, all.",
           ("watch",), 6, "queue"),
    Action("again", ("r", "f5"), "", "Read the ledger again.", ALL),
    Action("theme", ("g", "f6"), "", "Change between dark, light and no colour.", ALL),
    Action("palette", ("p", "f11", "ctrl+p"), "", "Find an action by typing.", ALL),
    Action("settings", ("comma",), "", "Make the settings file, and say where it is.", ALL),
    Action("help", ("question_mark", "f1"), "keys", "Show all keys.", ALL, 90),
    Action("quit", ("q", "f10"), "quit", "Leave; everything is already stored.", ALL, 91),
)  # fmt: skip

BY_ID: Mapping[str, Action] = {a.id: a for a in ACTIONS}


def actions_of(kind: str) -> tuple[Action, ...]:
    """The actions of one kind of screen, in the order of the registry."""
    return tuple(a for a in ACTIONS if kind in a.where)


Chosen = Mapping[str, tuple[str, ...]]


def is_shared(action: Action) -> bool:
    """Whether an action is on other screens than those on which letters are typed."""
    return not set(action.where) <= set(TYPING)


def keys_of(action: Action, chosen: Chosen, kind: str = "") -> tuple[str, ...]:
    """The keys of an action: those of the settings file, else its own.

    Args:
        action: which.
        chosen: the keys of the settings file, by action id.
        kind: the screen. Where letters are typed, only keys that write nothing; and no key that
            the settings file gives to another action of the screen.
    """
    keys = chosen.get(action.id, action.keys)
    if not kind:
        return keys
    if kind in TYPING and is_shared(action):
        keys = tuple(k for k in keys if not writes(k)) or action.keys
        keys = tuple(k for k in keys if not writes(k))
    if action.id in chosen:
        return keys
    others = {k for a in actions_of(kind) if a.id in chosen for k in keys_of(a, chosen, kind)}
    return tuple(k for k in keys if k not in others)


def bindings_of(kind: str) -> list[BindingType]:
    """The bindings of one kind of screen, each under its action's id."""
    from textual.binding import Binding

    own = {a.id: keys_of(a, {}, kind) for a in actions_of(kind)}
    taken: dict[str, str] = {}
    for name, keys in own.items():
        for key in keys:
            taken.setdefault(key, name)
    out: list[BindingType] = []
    for action in actions_of(kind):
        name = action.id
        free = [k for k in with_layouts(own[name]) if taken.setdefault(k, name) == name]
        if free:
            known = _typing_id(name) if kind in TYPING and is_shared(action) else name
            out.append(Binding(",".join(free), name, action.help, show=False, id=known))
    return out


def keymap(chosen: Chosen) -> dict[str, str]:
    """The keys of the settings file as the screens take them, by the ids of the bindings."""
    out = {name: ",".join(with_layouts(keys)) for name, keys in chosen.items()}
    for name, keys in chosen.items():
        silent = [key for key in keys if not writes(key)]
        if silent:
            out[_typing_id(name)] = ",".join(silent)
    return out


def _typing_id(name: str) -> str:
    """The id of a shared action's binding where letters are typed: a letter never reaches it."""
    return f"{name}.typing"


NARROW = 60


class ShownKey(NamedTuple):
    """A key in the last line, its words, and the action it calls."""

    key: str
    words: str
    action: str


def last_line(
    kind: str, cells: int, chosen: Chosen | None = None, without: Collection[str] = ()
) -> list[ShownKey]:
    """Keys and words of the last line, as many as fit, the important first.

    Help and quit always stay: they are what a newcomer looks for.

    Args:
        kind: the screen.
        cells: its width.
        chosen: the keys of the settings file, by action id.
        without: actions that do nothing in the part of the screen that is shown.
    """
    keys = {a.id: keys_of(a, chosen or {}, kind) for a in actions_of(kind)}
    there = (a for a in actions_of(kind) if a.short and keys[a.id] and a.id not in without)
    shown = sorted(there, key=lambda a: a.place)
    narrow = cells < NARROW
    pairs = {
        a.id: ShownKey(shown_key(keys[a.id][0]), (narrow and a.brief) or a.short, a.id)
        for a in shown
    }
    kept: list[str] = [name for name in ("help", "quit") if name in pairs]
    gap = gap_of(cells)
    # The line begins with one blank; nothing has to stand after the last word.
    room = cells - 1 + gap - sum(_cells(pairs[k], gap) for k in kept)
    for action in shown:
        if action.id in kept:
            continue
        need = _cells(pairs[action.id], gap)
        if need > room:
            continue
        room -= need
        kept.append(action.id)
    return [pairs[a.id] for a in shown if a.id in kept]


def gap_of(cells: int) -> int:
    """The blanks between two keys of the last line."""
    return 2 if cells < NARROW else 3


def _cells(one: ShownKey, gap: int) -> int:
    return len(one.key) + 1 + len(one.words) + gap
