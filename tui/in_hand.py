"""The attempt in hand while watching: what was typed of it, step by step, and what is asked next.

A made attempt asks how it was shot; a miss also where it went, on a block of nine keys as the
shooter sees the ring; a live miss also where the ball went then, on the same block.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

from tui.keys import with_layouts

if TYPE_CHECKING:
    from ledger.store.reads.film import ToWatch

Step = Literal["technique", "miss", "rebound"]
CANNOT_TELL = "cannot tell"
NOT_ON_FILM = "not on film"

# The number pad as it lies: long on top, as the shooter sees it.
MISSES: Mapping[str, tuple[str, str]] = {
    key: (depth, side)
    for keys, depth in (("789", "long"), ("456", "level"), ("123", "short"))
    for key, side in zip(keys, ("left", "centre", "right"), strict=True)
}
ZONES: Mapping[str, str] = {
    "7": "left_corner", "8": "behind", "9": "right_corner", "4": "left_side", "5": "front",
    "6": "right_side", "2": "high",
}  # fmt: skip
LETTERS: Mapping[str, str] = dict(zip("qweasdzxc", "789456123", strict=True))
_BLOCK: Mapping[str, str] = {
    **{digit: digit for digit in "123456789"},
    **{same: digit for key, digit in LETTERS.items() for same in with_layouts((key,))},
    **{same: digit for key, digit in LETTERS.items() for same in with_layouts((key.upper(),))},
}


def on_block(character: str) -> str | None:
    """The digit of the number pad that a key of either block stands for.

    >>> on_block("q"), on_block("7"), on_block("й"), on_block("p")
    ('7', '7', '7', None)
    """
    return _BLOCK.get(character)


@dataclass(frozen=True, slots=True)
class InHand:
    """An attempt and what was typed of it.

    Attributes:
        attempt: the attempt.
        said: the steps typed, each with its value; an empty value is a step that was skipped.
        more: further fields of its tag.
    """

    attempt: ToWatch
    said: tuple[tuple[Step, str], ...] = ()
    more: Mapping[str, str] = field(default_factory=dict)

    @property
    def technique(self) -> str:
        """What was typed of the technique, or nothing yet."""
        return dict(self.said).get("technique", "")

    @property
    def asks(self) -> Step | None:
        """What is asked next; None where everything was typed."""
        steps = dict(self.said)
        if "technique" not in steps:
            return "technique"
        if self.attempt.made or steps["technique"] == NOT_ON_FILM:
            return None
        if "miss" not in steps:
            return "miss"
        return "rebound" if self.attempt.live and "rebound" not in steps else None

    def with_step(self, value: str) -> InHand:
        """The same with an answer to what is asked."""
        step = self.asks
        assert step is not None
        return replace(self, said=(*self.said, (step, value)))

    def with_more(self, more: Mapping[str, str]) -> InHand:
        """The same with other further fields."""
        return replace(self, more=dict(more))

    def back(self) -> InHand:
        """The same without the last step; without the further fields, where no step was typed."""
        if self.said:
            return replace(self, said=self.said[:-1])
        return replace(self, more={})

    @property
    def begun(self) -> bool:
        """Whether anything was typed of it."""
        return bool(self.said or self.more)

    def fields(self) -> dict[str, str]:
        """What was typed, as the fields of a tag."""
        steps = dict(self.said)
        out = {"technique": steps["technique"]} if steps.get("technique") else {}
        if steps.get("miss"):
            out["miss_depth"], out["miss_side"] = MISSES[steps["miss"]]
        if steps.get("rebound"):
            out["rebound_zone"] = ZONES[steps["rebound"]]
        return {**out, **self.more}


def told(fields: Mapping[str, str]) -> str:
    """A tag in a few words.

    >>> told({"technique": "board", "miss_depth": "short", "miss_side": "left"})
    'board, short left'
    """
    depth, side = fields.get("miss_depth", ""), fields.get("miss_side", "")
    miss = f"{depth} {side}".strip()
    zone = fields.get("rebound_zone", "").replace("_", " ")
    parts = [fields.get("technique", ""), miss, f"ball {zone}" if zone else ""]
    known = ("technique", "miss_depth", "miss_side", "rebound_zone")
    if any(name not in known for name in fields):
        parts.append("with more")
    return ", ".join(part for part in parts if part)
