"""The 216 colours of the xterm cube, and those of them that stand for the colours of the pictures.

A terminal with 256 colours shows exactly these. The nearest one may be too faint for words, or
the same as its neighbour's: then the next one is taken that is neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from math import dist

LEVELS = (0x00, 0x5F, 0x87, 0xAF, 0xD7, 0xFF)
# Words on a ground, Web Content Accessibility Guidelines 2.2, 1.4.3.
READABLE = 4.5
# In OKLab; the pictures' own keep 0.12. Signs and names say the same as the colours.
APART = 0.08

# OKLab, as published with CSS Color 4.
_TO_CONES = (
    (0.4122214708, 0.5363325363, 0.0514459929),
    (0.2119034982, 0.6806995451, 0.1073969566),
    (0.0883024619, 0.2817188376, 0.6299787005),
)
_TO_LAB = (
    (0.2104542553, 0.7936177850, -0.0040720468),
    (1.9779984951, -2.4285922050, 0.4505937099),
    (0.0259040371, 0.7827717662, -0.8086757660),
)

Three = tuple[float, ...]


def nearest(level: int) -> int:
    """The level of the cube next to one of 256."""
    return min(LEVELS, key=lambda cube: abs(cube - level))


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, 1 to 21."""
    dark, bright = sorted(_luminance(colour) for colour in (one, other))
    return (bright + 0.05) / (dark + 0.05)


def cubed(colours: Iterable[str], ground: str, apart: float = APART) -> dict[str, str]:
    """Each colour `#rrggbb` moved onto the cube: as near as may be, readable, told from the others.

    Args:
        colours: those that stand beside each other; the first ones choose first.
        ground: what they stand on.
        apart: the least distance between two of them.
    """
    readable = [colour for colour in _cube() if contrast(colour, ground) >= READABLE]
    taken: dict[str, str] = {}
    for colour in dict.fromkeys(colours):
        place = _lab(colour)
        others = [_lab(other) for other in taken.values()]
        free = [c for c in readable if all(dist(_lab(c), o) >= apart for o in others)]
        taken[colour] = min(free or readable, key=lambda c: dist(_lab(c), place))
    return taken


@cache
def _cube() -> Sequence[str]:
    return [f"#{r:02x}{g:02x}{b:02x}" for r in LEVELS for g in LEVELS for b in LEVELS]


@cache
def _light(colour: str) -> Three:
    values = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return tuple(v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values)


def _luminance(colour: str) -> float:
    return _times((0.2126, 0.7152, 0.0722), _light(colour))


@cache
def _lab(colour: str) -> Three:
    cones = [_times(row, _light(colour)) ** (1 / 3) for row in _TO_CONES]
    return tuple(_times(row, cones) for row in _TO_LAB)


def _times(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))
