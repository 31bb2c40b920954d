"""How wide a text will be, known before it is drawn, so that nothing collides or is cut unseen.

Widths are those of the bundled letters in thousandths of the size; letters outside ASCII are taken
as wide as the widest usual one, so that a guess is never too small by much.
"""

from __future__ import annotations

import unicodedata

from ledger.charts.unbroken import BLANK, unbroken

# Advance widths of U+0020 to U+007E in the bundled fonts.
_REGULAR = (
    *(260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372),
    *(572, 572, 572, 572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434),
    *(899, 639, 650, 632, 730, 556, 519, 728, 741, 339, 273, 619, 524, 907, 760, 781),
    *(605, 781, 622, 549, 556, 731, 600, 930, 586, 566, 572, 329, 372, 329, 572, 444),
    *(281, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534, 258, 935, 618, 605),
    *(615, 615, 413, 479, 361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572),
)
_BOLD = (
    *(260, 286, 472, 646, 572, 901, 750, 266, 339, 339, 545, 572, 285, 322, 285, 413),
    *(572, 572, 572, 572, 572, 572, 572, 572, 572, 572, 285, 285, 572, 572, 572, 477),
    *(897, 690, 672, 637, 740, 560, 549, 724, 765, 389, 331, 664, 565, 943, 813, 796),
    *(628, 796, 660, 551, 579, 756, 650, 967, 667, 624, 579, 331, 413, 331, 572, 411),
    *(362, 604, 633, 514, 633, 591, 387, 633, 657, 305, 305, 620, 305, 982, 657, 619),
    *(633, 633, 454, 497, 434, 657, 569, 856, 578, 569, 488, 394, 551, 394, 572),
)
_WIDE, _OTHER = 1040, 680


def width(text: str, size: float, *, bold: bool = False) -> float:
    """The width of one line of text in chart units at a letter size."""
    table = _BOLD if bold else _REGULAR
    return sum(_advance(c, table) for c in text) * size / 1000


def cut(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """The text if it fits `room`, else as much of it as does, followed by `…`."""
    if width(text, size, bold=bold) <= room:
        return text
    table = _BOLD if bold else _REGULAR
    left = room * 1000 / size - _advance("…", table)
    kept = []
    for character in text:
        left -= _advance(character, table)
        if left < 0:
            break
        kept.append(character)
    return "".join(kept).rstrip() + "…"


def wrap(text: str, room: float, size: float, *, lines: int, bold: bool = False) -> list[str]:
    """The text in at most `lines` lines that fit `room`; what does not fit ends in `…`.

    Words that are too long for a line are broken; blanks count once; a figure keeps its unit, and
    the two ends of an interval stay together where a line has room for both.
    """
    return [line.replace(BLANK, " ") for line in _wrapped(_words(text), room, size, lines, bold)]


def _wrapped(words: list[str], room: float, size: float, lines: int, bold: bool) -> list[str]:
    out: list[str] = []
    line = ""
    while words:
        word = words.pop(0)
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold=bold) <= room:
            line = longer
        elif line:
            out.append(line)
            line = ""
            words.insert(0, word)
        elif BLANK in word:
            words[:0] = word.split(BLANK)
        else:
            head = _head(word, room, size, bold=bold)
            out.append(head)
            words.insert(0, word[len(head) :])
        if len(out) == lines:
            if words or line:
                rest = " ".join([out[-1], *([line] if line else []), *words])
                out[-1] = cut(rest, room, size, bold=bold)
            return out
    if line:
        out.append(line)
    return out or [""]


def balanced(text: str, room: float, size: float, *, lines: int, bold: bool = False) -> list[str]:
    """The text wrapped as by `wrap` into no more lines, those about equally long."""
    best = wrap(text, room, size, lines=lines, bold=bold)
    if len(best) == 1 or best[-1].endswith("…"):
        return best
    narrower = room
    while narrower > room / 2:
        narrower -= size
        tried = wrap(text, narrower, size, lines=lines, bold=bold)
        if len(tried) > len(best) or tried[-1].endswith("…"):
            break
        best = tried
    return best


def _words(text: str) -> list[str]:
    return unbroken(" ".join(text.split())).split(" ")


def _head(word: str, room: float, size: float, *, bold: bool) -> str:
    end = 1
    while end < len(word) and width(word[: end + 1], size, bold=bold) <= room:
        end += 1
    return word[:end]


def _advance(character: str, table: tuple[int, ...]) -> int:
    code = ord(character)
    if 0x20 <= code <= 0x7E:
        return table[code - 0x20]
    if unicodedata.combining(character):
        return 0
    if unicodedata.east_asian_width(character) in ("W", "F") or code >= 0x1F000:
        return _WIDE
    return _OTHER if unicodedata.category(character)[0] != "Z" else 260
