"""Names as written and as compared.

A name keeps its letters, accents and capitals; what nobody sees (composition, runs of blanks,
zero-width and direction marks, soft hyphens) is evened out, so that one player is one player.
Nothing here ever merges two names: look-alikes are only pointed out.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

MAX_NAME = 200

_INVISIBLE = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e"
    "\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff9-\ufffb\U000e0000-\U000e0fff]"
)
_CONTROL = re.compile("[\x00-\x08\x0e-\x1f\x7f-\x9f\ufdd0-\ufdef\ufffe\uffff]")
_BLANKS = re.compile(r"\s+")


def clean(text: str) -> str:
    r"""The name as stored: NFC, one blank for any run of blanks, trimmed, invisibles removed.

    >>> clean("  Ott\u00a0 K\u200b. ")
    'Ott K.'
    """
    if text.isascii() and text.isprintable() and "  " not in text:
        return text.strip()
    composed = unicodedata.normalize("NFC", _INVISIBLE.sub("", text))
    return _BLANKS.sub(" ", composed).strip()


def fault(text: str, most: int = MAX_NAME) -> str | None:
    """Why a name cannot be stored, a reason code of `findings.FIXES`, else `None`."""
    if _CONTROL.search(text):
        return "control_character"
    if len(text) > most:
        return "too_long"
    return None


def normal_form(name: str) -> str:
    r"""The form in which two names are compared: cleaned, without case; accents are kept.

    >>> normal_form("ÉSKA  Nibo") == normal_form("E\u0301ska nibo")
    True
    """
    return unicodedata.normalize("NFC", clean(name).casefold())


def lookalikes(names: Iterable[str]) -> list[tuple[str, str]]:
    """Pairs of different names that look the same because letters of two scripts look alike.

    A name with a word that mixes such letters within itself is paired with an empty text if no
    other name looks like it. Only names with letters beyond ASCII can be such: where there are
    none, nothing is loaded.
    """
    kept = sorted(set(names))
    foreign = [name for name in kept if not name.isascii()]
    if not foreign:
        return []
    from confusable_homoglyphs import confusables

    by_look: dict[str, list[str]] = {}
    for name in kept:
        by_look.setdefault(normal_form(name), []).append(name)
    pairs = []
    for name in foreign:
        look = normal_form("".join(_plain_letter(c, confusables.confusables_data) for c in name))
        if look == normal_form(name):
            continue
        twins = [twin for twin in by_look.get(look, ()) if twin != name]
        if twins:
            pairs.append((name, twins[0]))
        elif any(
            confusables.is_mixed_script(word, ["COMMON", "INHERITED"]) for word in name.split()
        ):
            pairs.append((name, ""))
    return pairs


def _plain_letter(character: str, twins: dict[str, list[dict[str, str]]]) -> str:
    """The ASCII letter that looks like this one, else the character itself."""
    if character.isascii() or not character.isalpha():
        return character
    for twin in twins.get(character, ()):
        if len(twin["c"]) == 1 and twin["c"].isascii() and twin["c"].isalpha():
            return twin["c"]
    return character


def misread(name: str) -> str | None:
    """What a name probably was before it was read in the wrong encoding and saved again.

    Only for a warning: the name is stored as it stands.
    """
    if name.isascii():
        return None
    for wrong in ("cp1252", "latin-1"):
        try:
            before = name.encode(wrong).decode("utf-8")
        except UnicodeError:
            continue
        return before if len(before) < len(name) else None
    return None
