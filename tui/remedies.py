"""Remedies: what a line of the ledger asks to be typed in a shell, told by what does it here.

The ledger names a remedy as a command or an option of one. On the screens an option is a line of
the window where it is chosen, a filter one of the attempts that are meant, a command a key. What
no screen does keeps its command, and is said to be one of a shell.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from ledger.cohort import FILTERS
from ledger.questions.registry import QUESTIONS
from ledger.questions.told import words_of

if TYPE_CHECKING:
    from ledger.questions.options import Option

# Gives the key of an action on the screen in front, nothing where the screen does not have it.
Key = Callable[[str], str]

# A command and what does it; in braces the action, whose key stands there.
_COMMANDS = (
    ("type offglass import FILE", "{intake} adds a file"),
    ("type offglass list NAME add PLAYER", "Lists ({lists}) put players on one"),
    ("offglass lot draws", "Lists ({lists}) draw"),
    ("type offglass settle ATTEMPT TECHNIQUE", "{part} leafs there, {settle} settles one"),
    ("type offglass trial NAME --player P --techniques straight,board", "Lists ({lists}) plan one"),
    ("type offglass consent", "Lists ({lists}) write it down"),
    ("offglass sources lists", "Sources ({sources}) list"),
)
_ACTION = re.compile(r"\{(\w+)\}")
_ASK = re.compile(r"offglass ask ([a-z]+)")
_TYPE = re.compile(r"\btype:? (?=offglass )")
# What may stand behind an option: a figure, a word of the command, what is to be filled in, or a
# pair that names a column or a word of a file.
_PART = r"""(?:[^\s'"=]|'[^']*'|"[^"]*")"""
_VALUE = (
    rf"{_PART}*=(?:{_PART}|=)+|'[^']*=[^']*'|\d+(?:\.\d+)?"
    r"|(?:practice|dmy|mdy|ymd|tags|box|totals|attempts|second_opinions|[A-Z]+)\b"
)
_OPTION = re.compile(rf"(?<!\w)--([a-z][a-z-]*)(?: ({_VALUE}))?")
_PLACEHOLDER = re.compile(r"[A-Z]+")
# Two options of one window: its key is said once.
_SAME_KEY = re.compile(r" \(([^()]+)\)( (?:or|and) [^()]*\(\1\))")
# What the window of a file asks for, by the names that it has there.
OF_A_FILE = ("map", "set", "word", "dates", "encoding", "drawn", "tagger")


def nouns_of(options: Sequence[Option]) -> dict[str, str]:
    """What each option of a question is called in a sentence, by its name."""
    return {option.name: words_of(option).noun or words_of(option).label for option in options}


def told_here(line: str, key: Key, own: Mapping[str, str] | None = None) -> str:
    """A line of the ledger with remedies that the screen in front has.

    Args:
        line: a headline, a note, a refusal, or why there is no figure.
        key: gives the key of an action, nothing where the screen does not have it.
        own: words for options that are chosen beside the line: those of the question, or the lines
            of a window.

    >>> keys = {"intake": "i", "choose": "a", "cohort": "f"}
    >>> told_here("Nothing has come in yet: type offglass import FILE.", lambda a: keys.get(a, ""))
    'Nothing has come in yet: i adds a file.'
    >>> told_here("Leave out --technique.", lambda a: keys.get(a, ""))
    'Leave out the technique (f).'
    """
    if "--" not in line and "offglass " not in line:
        return line
    for command, does in _COMMANDS:
        actions = _ACTION.findall(does)
        if command in line and all(key(action) for action in actions):
            line = line.replace(command, does.format(**{a: key(a) for a in actions}))
    line = _ASK.sub(_title, line)
    # From a command on everything is of the shell.
    before, command, rest = line.partition("offglass ")
    shell = _TYPE.sub("in a shell type ", f"{before[-6:]}{command}{rest}") if command else ""
    before = before[:-6] if command else before
    said = _OPTION.sub(lambda found: _option(found, key, own or {}), before)
    return _SAME_KEY.sub(r"\2", said) + shell


def _title(found: re.Match[str]) -> str:
    question = QUESTIONS.get(found[1])
    return f'"{question.title}"' if question is not None else found[0]


def _option(found: re.Match[str], key: Key, own: Mapping[str, str]) -> str:
    name, value = found[1].replace("-", "_"), found[2] or ""
    given = "" if _PLACEHOLDER.fullmatch(value) else value
    quoted = f'"{name}"'
    if name in own:
        said, by = own[name], key("choose")
        said = f"{given} as {said}" if given else said
    elif name == "focus":
        said, by = "the technique studied", key("technique")
    elif name == "part" and key("part"):
        return f"{key('part')} leafs there"
    elif name in FILTERS:
        said, by = f"the {name} {given}".rstrip(), key("cohort")
    elif name in OF_A_FILE and key("say_more"):
        said, by = f"{given} as {quoted}" if given else quoted, key("say_more")
    elif name == "as" and key("kind"):
        said, by = f"{given} as its kind" if given else "its kind", key("kind")
    else:
        return found[0]
    apart = found.string[found.end() :].startswith(" (")
    return said if apart or not by else f"{said} ({by})"
