"""What a terminal would show of the bytes that a program sends, and which of them are strange.

Only what a program drawn by Textual may send is understood: cursor placing, colours, modes,
clearing, and a few questions to the terminal. Everything else that could act is kept in `strange`,
so that a test can say that nothing of the kind was sent. Codes as in ECMA-48 (5th edition, 1991)
and, for the private modes, "XTerm Control Sequences" (E. Moy, S. Gildea, T. Dickey).
"""

from __future__ import annotations

import codecs
import re
import unicodedata

from rich.cells import cell_len

from tests.intake.hostile_names import harmful

_SEQUENCE = re.compile(
    r"\x1b\[(?P<given>[<-?]*[0-9;:]*)(?P<between>[ -/]*)(?P<final>[@-~])"
    r"|\x1b\](?P<system>[^\x07\x1b]*)(?:\x07|\x1b\\)"
    r"|(?P<text>[^\x00-\x1f\x7f-\x9f]+)"
    r"|(?P<line>[\r\n])"
    r"|(?P<strange>\x1b.|[\x00-\x1a\x1c-\x1f\x7f-\x9f])",
    re.DOTALL,
)
# A sequence that has not come whole yet; none that a program may send is as long as this.
_BEGUN = re.compile(r"\x1b(?:\[[<-?]*[0-9;:]*[ -/]*|\][^\x07\x1b]*\x1b?)?\Z")
_LONGEST = 100_000
# Place, clear, colour, mode on and off, keyboard protocol, question about a mode.
_OWN = set("HJKmhlup")
_POINTER = re.compile(r"22;[a-z-]*")
_COLOUR = re.compile(r"(?:^|;)(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;|$)")


class ScreenReader:
    """A screen of cells, fed with bytes."""

    def __init__(self, cells: int, lines: int) -> None:
        self.modes: set[str] = set()
        self.strange: list[str] = []
        self.bells = 0
        self.copied: list[str] = []
        self.colours = 0
        self._decode = codecs.getincrementaldecoder("utf-8")("replace").decode
        self._rest = ""
        self.resize(cells, lines)

    def resize(self, cells: int, lines: int) -> None:
        """Another size, and nothing on it."""
        self._cells, self._lines = cells, lines
        self._x = self._y = 0
        self._rows = [[" "] * cells for _ in range(lines)]

    def text(self) -> str:
        """The screen, one line a line, without blanks at the ends."""
        return "\n".join("".join(row).rstrip() for row in self._rows)

    def feed(self, data: bytes) -> None:
        """Take what the program has sent."""
        text = self._rest + self._decode(data)
        at = 0
        begun = _BEGUN.search(text)
        end = begun.start() if begun and len(text) - begun.start() < _LONGEST else len(text)
        while at < end:
            found = _SEQUENCE.match(text, at)
            if found is None:
                self.strange.append(text[at : at + 20])
                at += 1
                continue
            at = found.end()
            self._take(found)
        self._rest = text[at:]

    def _take(self, found: re.Match[str]) -> None:
        if found["text"]:
            self._write(found["text"])
        elif found["line"] == "\r":
            self._x = 0
        elif found["line"]:
            self._y = min(self._y + 1, self._lines - 1)
        elif found["final"]:
            self._act(found["given"], found["between"], found["final"])
        elif found["system"] is not None:
            self._ask_system(found["system"])
        elif found["strange"] == "\x07":
            self.bells += 1
        else:
            self.strange.append(found["strange"])

    def _ask_system(self, said: str) -> None:
        if said.startswith("52;c;"):
            self.copied.append(said.removeprefix("52;c;"))
        elif not _POINTER.fullmatch(said):
            self.strange.append(f"\x1b]{said}")

    def _act(self, given: str, between: str, final: str) -> None:
        if final not in _OWN or between not in ("", "$"):
            self.strange.append(f"\x1b[{given}{between}{final}")
        elif final == "H":
            line, _, cell = given.partition(";")
            self._y = min(int(line or 1), self._lines) - 1
            self._x = min(int(cell or 1), self._cells) - 1
        elif final == "J":
            self.resize(self._cells, self._lines)
        elif final == "m":
            self.colours += _COLOUR.search(given) is not None
        elif final in "hl":
            (self.modes.add if final == "h" else self.modes.discard)(given)

    def _write(self, text: str) -> None:
        if text.isascii():
            # Nothing is written beyond the edge, wherever the cursor was left.
            room = text[: max(0, self._cells - self._x)]
            self._rows[self._y][self._x : self._x + len(room)] = room
            self._x += len(text)
            return
        self.strange += sorted(harmful(text, lines=False))
        for character in text:
            wide = cell_len(character)
            if not wide or unicodedata.combining(character):
                continue
            if self._x + wide <= self._cells:
                row = self._rows[self._y]
                row[self._x] = character
                if wide == 2:
                    row[self._x + 1] = ""
            self._x += wide
