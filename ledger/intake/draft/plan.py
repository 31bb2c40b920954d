"""A profile while it is drafted: lines with their reasons, and the questions that stay open.

It knows the order of a profile's sections and how TOML is written; what goes in, others decide.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ledger.safe_text import cut, safe

# Sections in the order of a profile's steps.
_SECTIONS = (
    *("form", "fits", "rows.keep", "rows.drop", "sides", "constants", "file_name", "lookups"),
    *("fields", "pair", "texts", "names", "clock", "blanks", "words"),
)
_LISTS = ("rows.keep", "rows.drop", "sides", "lookups", "texts")
# Sections that need a key: disabled with their lines.
_NEEDY = ("pair", "file_name")
_BARE = re.compile(r"^[A-Za-z0-9_-]+$")


@dataclass(frozen=True, slots=True)
class Proposal:
    """Where one field is to come from.

    Attributes:
        field: name of the field.
        source: column, constant or text it comes from; empty where that is asked.
        reason: why.
        asked: it stays open until a person answers.
    """

    field: str
    source: str
    reason: str
    asked: bool = False


@dataclass(slots=True)
class Plan:
    """What is drafted so far."""

    kind: str
    name: str
    top: list[str] = field(default_factory=list)
    blocks: dict[str, list[list[str]]] = field(default_factory=dict)
    used: dict[str, str | int] = field(default_factory=dict)
    proposals: list[Proposal] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)

    def block(self, section: str) -> list[str]:
        """The lines of a section, or of a new entry of a section that is a list."""
        blocks = self.blocks.setdefault(section, [])
        if not blocks or section in _LISTS:
            blocks.append([])
        return blocks[-1]

    def setting(self, key: str, value: Any, reason: str) -> None:
        """A key of the profile itself, such as `order`."""
        self.top += [f"# {comment(reason)}", f"{key} = {literal(value)}"]

    def put(self, section: str, key: str, value: Any, reason: str) -> None:
        """A line of a section, with its reason above it."""
        self.block(section).extend([f"# {comment(reason)}", f"{name(key)} = {literal(value)}"])

    def say(self, section: str, text: str) -> None:
        """A comment in a section."""
        self.block(section).append(f"# {comment(text)}")

    def take(self, wanted: str, column: str | int, reason: str) -> None:
        """A field from a column."""
        self.put("fields", wanted, column, reason)
        self.used[str(column)] = column
        self.proposals.append(Proposal(wanted, str(column), reason))

    def found(self, wanted: str, source: str, reason: str) -> None:
        """A field that comes from something else than a line of `fields`."""
        self.proposals.append(Proposal(wanted, source, reason))

    def ask(
        self,
        section: str | None,
        question: str,
        disabled: Sequence[str],
        fields: Iterable[str] = (),
    ) -> None:
        """An open question beside disabled lines to mend; `None` asks at the top."""
        self.questions.append(comment(question))
        lines = [
            f"# ASK {len(self.questions)}: {comment(question)}",
            *(f"# {safe(line)}" for line in disabled),
        ]
        if section is None:
            self.top += lines
        else:
            (self.blocks.setdefault(section, [[]])[-1]).extend(lines)
        self.proposals += [Proposal(f, "", comment(question), asked=True) for f in fields]

    def has(self, wanted: str) -> bool:
        """Whether a field was proposed or asked."""
        return any(p.field == wanted for p in self.proposals)

    def text(self, heading: Sequence[str]) -> str:
        """The profile as TOML."""
        lines = [f"# {comment(line)}" if line else "#" for line in heading]
        lines += ["profile = 1", f"name = {literal(self.name)}", f"as = {literal(self.kind)}"]
        if self.questions:
            lines += [
                "",
                "# Open questions: mend the line below that each one names (# ASK), then delete it",
                "# here. The profile is not saved and imports nothing while one is left.",
                "ask = [",
                *(f"  {literal(f'{at}: {q}')}," for at, q in enumerate(self.questions, 1)),
                "]",
            ]
        lines += ["", *self.top] if self.top else []
        for section in sorted(self.blocks, key=_place):
            for entry in self.blocks[section]:
                title = ".".join(name(part) for part in section.split("."))
                only_comments = all(line.startswith("#") for line in entry)
                head = [f"[[{title}]]" if section in _LISTS else f"[{title}]"]
                if only_comments and section in _LISTS:
                    head = []
                elif only_comments and section in _NEEDY:
                    head = [f"# {head[0]}"]
                lines += ["", *head, *entry]
        return "\n".join(lines) + "\n"


def _place(section: str) -> tuple[int, str]:
    for at, known in enumerate(_SECTIONS):
        if section == known or section.startswith(known + "."):
            return at, section
    return len(_SECTIONS), section


def literal(value: Any) -> str:
    r"""A value as TOML writes it; texts with a backslash as literal strings where they can be.

    >>> literal("a\\d"), literal(3), literal(["x", 1])
    ("'a\\d'", '3', '["x", 1]')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{name(str(k))} = {literal(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(literal(item) for item in value) + "]"
    text = str(value)
    if "\\" in text and "'" not in text and text.isprintable():
        return f"'{text}'"
    return '"' + "".join(_escaped(c) for c in text) + '"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return "\\" + character
    if character == "\t":
        return "\\t"
    if not character.isprintable() and character != " ":
        code = ord(character)
        return f"\\u{code:04X}" if code <= 0xFFFF else f"\\U{code:08X}"
    return character


def name(key: str) -> str:
    """A key as TOML writes it.

    >>> name("made"), name("No good")
    ('made', '"No good"')
    """
    return key if _BARE.match(key) else literal(key) if "\\" not in key else _quoted(key)


def _quoted(key: str) -> str:
    return '"' + "".join(_escaped(c) for c in key) + '"'


def comment(text: str) -> str:
    """A text fit for a comment: one line, nothing that acts."""
    return cut(safe(" ".join(text.split())), 240)
