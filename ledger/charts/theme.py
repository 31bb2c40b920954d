"""How every picture of the project looks: sizes, colours, shapes, letters.

Two themes, light and dark, registered with Altair as `offglass-light` and `offglass-dark`; `draw`
puts the theme into each chart, so that neither needs to be switched on. The eight colours of the
series were chosen by the project: the smallest distance between two of them, in OKLab, is 0.12 for
full colour vision and for simulated protanopia, deuteranopia and tritanopia. Shapes and words say
the same as the colours, so a picture in grey says as much.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal
from zlib import crc32

from ledger.errors import UseError

ThemeName = Literal["light", "dark"]
SizeName = Literal["wide", "square", "tall"]

FONT = "Noto Sans, sans-serif"
FONT_FOLDER = Path(__file__).resolve().parent / "fonts"
# Pixels of a PNG for each unit of a chart: 960 x 540 becomes 1920 x 1080.
SCALE = 2
MARGIN = 28


@dataclass(frozen=True, slots=True)
class Size:
    """One size of picture.

    Attributes:
        name: the shape that it is laid out as.
        width: of the whole picture, in chart units (a PNG has twice as many pixels).
        height: of the whole picture; of a tall one the most.
        rows: the most rows of dots that stay readable.
        columns: panels side by side.
        bare: without headline, cohort and caption, which stand beside the picture.
    """

    name: SizeName
    width: int
    height: int
    rows: int
    columns: int
    bare: bool = False


@dataclass(frozen=True, slots=True)
class Theme:
    """The colours of one theme, as `#rrggbb`.

    Attributes:
        name: as asked for.
        paper: the ground.
        ink: words and figures.
        muted: words that matter less; still 4.5 to 1 on the paper.
        grid: lines that guide the eye.
        states: by the state of a player.
        series: for leagues, teams and the like.
    """

    name: ThemeName
    paper: str
    ink: str
    muted: str
    grid: str
    states: dict[str, str]
    series: tuple[str, ...]


SIZES: dict[str, Size] = {
    "wide": Size("wide", 960, 540, 16, 4),
    "square": Size("square", 720, 720, 28, 3),
    "tall": Size("tall", 720, 1018, 44, 3),
    "slide": Size("wide", 940, 386, 14, 4, bare=True),
    "narrow-slide": Size("square", 720, 390, 14, 3, bare=True),
    "page": Size("square", 640, 440, 14, 3, bare=True),
}
# As wide as a telephone's screen: lists of names and single curves stand on it, panels do not.
NARROW: dict[str, Size] = {"telephone": Size("tall", 396, 460, 14, 1, bare=True)}
THEMES: dict[str, Theme] = {
    "light": Theme(
        name="light",
        paper="#ffffff",
        ink="#1b2230",
        muted="#586173",
        grid="#e3e6ec",
        states={
            "adopter": "#0a5d80",
            "occasional": "#c4700c",
            "not": "#5a6270",
            "undecided": "#7b8494",
            "untagged": "#7b8494",
            "none": "#7b8494",
        },
        series=(
            "#4f56c5",
            "#e26b1b",
            "#721118",
            "#5b8df9",
            "#86517a",
            "#b23308",
            "#492676",
            "#a3899c",
        ),
    ),
    "dark": Theme(
        name="dark",
        paper="#14181f",
        ink="#eceff4",
        muted="#a7b0bf",
        grid="#2b323d",
        states={
            "adopter": "#63c8ea",
            "occasional": "#f2ad4b",
            "not": "#b3bbc8",
            "undecided": "#8d96a5",
            "untagged": "#8d96a5",
            "none": "#8d96a5",
        },
        series=(
            "#6eb2fe",
            "#d1512e",
            "#d0ee5f",
            "#f089aa",
            "#707bee",
            "#a1bc1f",
            "#5df9f4",
            "#a26b95",
        ),
    ),
}
# A state is told by its shape and its word as well; `filled` where the state is settled.
STATE_SHAPES = {
    "adopter": "circle",
    "occasional": "diamond",
    "not": "square",
    "undecided": "circle",
    "untagged": "cross",
    "none": "cross",
}
SETTLED = frozenset({"adopter", "occasional", "not"})
STATE_WORDS = {
    "adopter": "does it",
    "occasional": "now and then",
    "not": "does not",
    "undecided": "cannot be called",
    "untagged": "not watched",
    "none": "not judged",
}
COLOURS = len(THEMES["light"].series)
SERIES_SHAPES = ("circle", "square", "diamond", "triangle-up", "triangle-down", "cross")


@dataclass(frozen=True, slots=True)
class Look:
    """The colour and shape of one series."""

    colour: str
    shape: str


def theme_of(name: str) -> Theme:
    """The theme of that name.

    Raises:
        UseError: if there is none.
    """
    if name not in THEMES:
        raise UseError(f"no theme is called {name!r}: use {' or '.join(THEMES)}")
    return THEMES[name]


def size_of(name: str) -> Size:
    """The size of that name.

    Raises:
        UseError: if there is none.
    """
    found = SIZES.get(name) or NARROW.get(name)
    if found is None:
        raise UseError(f"no size is called {name!r}: use {', '.join(SIZES)}")
    return found


def looks(
    names: Iterable[str], theme: Theme, domain: Sequence[str] | None = None
) -> dict[str, Look]:
    """A colour and shape for each name, the same however the cohort is narrowed.

    With `domain` (every name of the ledger, in an order that only grows at its end) a name has the
    look of its place there. Without it the name's own checksum chooses, and where two names of one
    picture want the same colour the one later in the alphabet takes the next free one.

    Returns:
        A look for each name; the shape differs where more than eight names share the colours.
    """
    count = len(theme.series)
    return {
        name: Look(
            colour=theme.series[place % count],
            shape=SERIES_SHAPES[(place % count + place // count) % len(SERIES_SHAPES)],
        )
        for name, place in places(names, domain).items()
    }


def places(names: Iterable[str], domain: Sequence[str] | None = None) -> dict[str, int]:
    """The place of each name among the colours, the same in every theme; see `looks`."""
    wanted = sorted(set(names))
    placed: dict[str, int] = {}
    if domain is not None:
        fixed = {name: place for place, name in enumerate(dict.fromkeys(domain))}
        placed = {name: fixed[name] for name in wanted if name in fixed}
    taken = set(placed.values())
    for name in wanted:
        if name in placed:
            continue
        placed[name] = _free_place(name, taken, COLOURS)
        taken.add(placed[name])
    return placed


def _free_place(name: str, taken: set[int], count: int) -> int:
    start = crc32(name.encode()) % count
    # Each further round of the same colours has other shapes.
    places = ((start + step) % count + step // count * count for step in itertools.count())
    return next(place for place in places if place not in taken)


def config(theme: Theme) -> dict[str, Any]:
    """The theme as the `config` of a Vega-Lite chart."""
    return {
        "background": theme.paper,
        "font": FONT,
        "view": {"stroke": None, "continuousWidth": 600, "continuousHeight": 400},
        "title": {
            "color": theme.ink,
            "fontSize": 20,
            "fontWeight": "bold",
            "lineHeight": 25,
            "subtitleColor": theme.muted,
            "subtitleFontSize": 13,
            "subtitleLineHeight": 18,
            "subtitlePadding": 5,
        },
        "axis": {
            "labelColor": theme.muted,
            "labelFontSize": 12,
            "titleColor": theme.muted,
            "titleFontSize": 12,
            "titleFontWeight": "normal",
            "titlePadding": 8,
            "domain": False,
            "ticks": False,
            "labelPadding": 6,
            "gridColor": theme.grid,
            "gridWidth": 1,
        },
        "text": {"color": theme.ink, "fontSize": 12},
        "rule": {"color": theme.ink},
        "legend": {"disable": True},
    }


def register() -> None:
    """Make both themes known to Altair by name, without switching either on."""
    import altair as alt

    def maker(theme: Theme) -> Callable[[], alt.theme.ThemeConfig]:
        def make() -> alt.theme.ThemeConfig:
            return alt.theme.ThemeConfig(config=config(theme))  # type: ignore[typeddict-item]

        return make

    for theme in THEMES.values():
        alt.theme.register(f"offglass-{theme.name}", enable=False)(maker(theme))
