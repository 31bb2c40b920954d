"""What the words of coded fields mean.

A word stands for a value only if it is in the starter list, in the ledger's own word table or
named by `--word`. There is no nearest match: an unknown word is said to be unknown.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

# What a technique cell says when the tagger looked and could not tell.
UNCLEAR = "unclear"
# What it says when nobody recorded a technique.
NOT_RECORDED = "unknown"

STARTER_TECHNIQUES = ("straight", "board", "underhand", "other")

_YES = "yes y true t 1"
_NO = "no n false f 0"
_SIDES = {"left": ["left", "l"], "centre": ["centre", "center", "middle"], "right": ["right", "r"]}
_CANNOT = ["cannot tell", "can't tell", "cant tell", "can not tell", "could not tell", "unclear"]

STARTER: dict[str, dict[str, list[str]]] = {
    "made": {
        "yes": [*_YES.split(), "made", "make", "good"],
        "no": [*_NO.split(), "missed", "miss", "no good"],
    },
    "adjudicated": {"yes": _YES.split(), "no": _NO.split()},
    "shot": {
        "free_throw": ["free throw", "freethrow", "ft", "free throws"],
        # A bare 2 may count the throws of a trip: `shot_numbers` tells when it does not.
        "two": ["two", "two pointer", "2 pointer"],
        "three": ["three", "three pointer", "3 pointer"],
    },
    "stage": {
        "regular": ["regular", "regular season"],
        "playoff": ["playoff", "playoffs", "play off", "play offs"],
        "cup": ["cup"],
        "friendly": ["friendly", "friendlies"],
        "practice": ["practice"],
    },
    "trip_kind": {
        "personal": ["personal", "personal foul"],
        "technical": ["technical", "technical foul"],
        "flagrant": ["flagrant", "flagrant foul"],
        "one_and_one": ["one and one", "1 and 1"],
        "unknown": ["unknown"],
    },
    "ended_by": {"violation": ["violation"], "foul": ["foul"], "buzzer": ["buzzer"]},
    "rebound_by": {
        "offensive": ["offensive", "off", "offense", "offence"],
        "defensive": ["defensive", "def", "defense", "defence"],
        "out": ["out", "out of bounds"],
        "none": ["none"],
    },
    "first_contact": {
        "none": ["none"],
        "ring": ["ring", "rim"],
        "board": ["board", "backboard"],
    },
    "contact_height": {
        "below_top_line": ["below top line", "below the top line"],
        "at_top_line": ["at top line", "at the top line", "on top line", "on the top line"],
        "above_top_line": ["above top line", "above the top line"],
    },
    "contact_side": _SIDES,
    "miss_side": _SIDES,
    "down_at_board": {"yes": _YES.split(), "no": _NO.split(), "cannot_tell": _CANNOT},
    "backspin": {"yes": _YES.split(), "no": _NO.split(), "cannot_tell": _CANNOT},
    "miss_depth": {"short": ["short"], "level": ["level"], "long": ["long"]},
    "rebound_zone": {
        "front": ["front"],
        "left_side": ["left side"],
        "right_side": ["right side"],
        "left_corner": ["left corner"],
        "right_corner": ["right corner"],
        "high": ["high"],
        "behind": ["behind"],
    },
    "confidence": {"sure": ["sure"], "likely": ["likely"], "guess": ["guess"]},
    "hand": {
        "left": ["left", "l", "left handed", "left hand"],
        "right": ["right", "r", "right handed", "right hand"],
    },
    "technique": {
        "straight": ["straight", "direct"],
        "board": [
            *("board", "bank", "banked", "bank shot", "backboard", "glass"),
            *("off board", "off the board", "off backboard", "off the backboard"),
            *("off glass", "off the glass"),
        ],
        "underhand": ["underhand", "underhanded", "under hand", "under handed"],
        "other": ["other"],
        UNCLEAR: [*_CANNOT, "not on film", "not on video", "off film", "not visible", "not seen"],
        NOT_RECORDED: ["unknown", "?", "??", "-", "n/a", "not recorded", "not tagged", "untagged"],
    },
}


def normal_word(text: str) -> str:
    """A word as compared: NFC, without case, blanks, hyphens and underscores within it alike.

    >>> normal_word(" Off-the_Board ")
    'off the board'
    """
    plain = unicodedata.normalize("NFC", text).casefold().replace("’", "'")
    bare = re.sub(r"[\u00ad\u200b-\u200f\u202a-\u202e\u2060\ufeff]", "", plain).strip()
    # Only between letters: the sign of -1 is no hyphen.
    return re.sub(r"(?<=[^\W_])[\s_\-\u2010-\u2015]+(?=[^\W_])", " ", bare)


@dataclass(frozen=True, slots=True)
class Words:
    """The word table in use.

    Attributes:
        table: field to normal word to value.
        techniques: names a technique word may stand for.
    """

    table: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    techniques: tuple[str, ...] = STARTER_TECHNIQUES

    def look(self, field_name: str, text: str) -> str | None:
        """The value a word stands for, `None` where it is unknown.

        A technique word may also stand for `UNCLEAR` or `NOT_RECORDED`.
        """
        return self.table.get(field_name, {}).get(normal_word(text))

    def with_words(self, extra: Iterable[tuple[str, str, str]]) -> Words:
        """The table with further words (field, text, value); they win over those there."""
        table = {name: dict(words) for name, words in self.table.items()}
        for name, text, value in extra:
            table.setdefault(name, {})[normal_word(text)] = value
        return Words(table, self.techniques)


def build(
    extra: Mapping[str, Mapping[str, str]] | None = None,
    techniques: Iterable[str] = STARTER_TECHNIQUES,
) -> Words:
    """The starter words, the ledger's techniques by their own name, and the ledger's own words.

    Args:
        extra: field to text to value, from the ledger's word table.
        techniques: names of the ledger's techniques.
    """
    known = tuple(dict.fromkeys((*STARTER_TECHNIQUES, *techniques)))
    table: dict[str, dict[str, str]] = {}
    for name, values in STARTER.items():
        words = table.setdefault(name, {})
        for value, spellings in values.items():
            for spelling in (value, *spellings):
                words.setdefault(normal_word(spelling), value)
    for technique in known:
        table["technique"].setdefault(normal_word(technique), technique)
    own = [
        (name, text, value)
        for name, pairs in (extra or {}).items()
        for text, value in pairs.items()
    ]
    return Words(table, known).with_words(own)
