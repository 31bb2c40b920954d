"""Three ways to draw: dark, light, and without colour.

Every colour that reaches the terminal is one of the 216 of the xterm cube, so that a terminal
with 256 colours shows exactly what was chosen. No meaning hangs on a colour alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

from ledger.charts.theme import THEMES as PICTURES
from tui.styles.cube import cubed, nearest

# The number of a line, the state of a player, or the name of a style.
Ink = int | str

PLAIN = "offglass-plain"
NAMES = {"dark": "offglass-dark", "light": "offglass-light", "plain": PLAIN}


@dataclass(frozen=True, slots=True)
class Inks:
    """The styles that widgets draw with.

    Attributes:
        text: ordinary text.
        dim: what stands back: headings of columns, axes, keys' words.
        strong: what stands out.
        mark: the technique that is studied; always beside a word or a sign that says so.
        chosen: the row under the cursor.
        lines: one style a line of a chart; each is also named and has its own sign.
        states: by the state of a player, which is also told in words.
    """

    text: Style
    dim: Style
    strong: Style
    mark: Style
    chosen: Style
    lines: tuple[Style, ...]
    states: Mapping[str, Style] = field(default_factory=dict)

    def of(self, ink: Ink) -> Style:
        """A style by a line's number, by the state of a player, or by its own name."""
        if isinstance(ink, int):
            return self.lines[ink % len(self.lines)]
        if ink in self.states:
            return self.states[ink]
        style: Style = getattr(self, ink) if ink in _OWN else self.text
        return style

    def back(self) -> Inks:
        """The same, all of it standing back."""
        return Inks(self.dim, self.dim, self.dim, self.dim, self.dim, (self.dim,))


# States that mean much the same have greys that are much the same: their words tell them apart.
_STATES_APART = 0.04
_OWN = ("text", "dim", "strong", "mark", "chosen")


def _inks(name: str, ground: str, text: str, dim: str, chosen: tuple[str, str]) -> Inks:
    """The styles of a theme, its colours of lines and states those of the saved pictures."""
    picture = PICTURES[name]
    lines = cubed(picture.series, ground)
    states = cubed(picture.states.values(), ground, _STATES_APART)
    mark = states[picture.states["adopter"]]
    return Inks(
        text=Style(color=text),
        dim=Style(color=dim),
        strong=Style(color=text, bold=True),
        mark=Style(color=mark, bold=True),
        chosen=Style(color=chosen[0], bgcolor=chosen[1], bold=True),
        lines=tuple(Style(color=lines[c]) for c in picture.series),
        states={state: Style(color=states[c]) for state, c in picture.states.items()},
    )


INKS = {
    NAMES["dark"]: _inks("dark", "#000000", "#d7d7d7", "#878787", ("#ffffff", "#005f87")),
    NAMES["light"]: _inks("light", "#ffffff", "#000000", "#5f5f5f", ("#000000", "#afd7ff")),
    PLAIN: Inks(
        text=Style(), dim=Style(), strong=Style(bold=True), mark=Style(bold=True),
        chosen=Style(reverse=True, bold=True), lines=(Style(),),
    ),
}  # fmt: skip


def _theme(name: str, *, dark: bool, back: str, text: str, dim: str, bar: str) -> Theme:
    chosen = "#005f87" if dark else "#afd7ff"
    chosen_text = "#ffffff" if dark else "#000000"
    plain = name == PLAIN
    ink = INKS[name].mark.color
    mark = text if ink is None else ink.name
    return Theme(
        name=name, primary=bar, secondary=bar, accent=mark, warning=mark, error=mark,
        success=bar, foreground=text, background=back, surface=back, panel=back, boost=back,
        dark=dark,
        variables={
            "text": text, "text-muted": dim, "text-disabled": dim, "border": bar,
            "border-blurred": dim, "block-cursor-foreground": chosen_text,
            "block-cursor-background": chosen, "block-cursor-text-style": "bold",
            "block-cursor-blurred-foreground": text, "block-cursor-blurred-background": back,
            "block-hover-background": back, "input-cursor-background": text,
            "input-cursor-foreground": back, "input-cursor-text-style": "none",
            "input-selection-background": chosen, "input-selection-foreground": chosen_text,
            "scrollbar": dim, "scrollbar-hover": bar, "scrollbar-active": bar,
            "scrollbar-background": back, "scrollbar-background-hover": back,
            "scrollbar-background-active": back, "scrollbar-corner-color": back,
            "screen-selection-background": chosen, "screen-selection-foreground": chosen_text,
            **({"block-cursor-text-style": "bold reverse"} if plain else {}),
        },
    )  # fmt: skip


THEMES = (
    _theme("offglass-dark", dark=True, back="#000000", text="#d7d7d7", dim="#878787",
           bar="#5fafff"),
    _theme("offglass-light", dark=False, back="#ffffff", text="#000000", dim="#5f5f5f",
           bar="#005faf"),
    _theme(PLAIN, dark=True, back="#000000", text="#ffffff", dim="#afafaf",
           bar="#ffffff"),
)  # fmt: skip


@lru_cache(4096)
def _cubed(color: RichColor) -> RichColor:
    r, g, b = color.get_truecolor()
    return RichColor.from_rgb(nearest(r), nearest(g), nearest(b))


@lru_cache(4096)
def _in_cube(style: Style) -> Style:
    color = _cubed(style.color) if style.color and not style.color.is_default else None
    back = _cubed(style.bgcolor) if style.bgcolor and not style.bgcolor.is_default else None
    return style + Style.from_color(color, back)


@lru_cache(4096)
def _colourless(style: Style) -> Style:
    """The style with weight and reversal only; a ground that stands out becomes reversed."""
    ground = style.bgcolor
    stands_out = bool(ground and not ground.is_default and max(ground.get_truecolor()) > 0x2F)
    return Style(
        bold=bool(style.bold), underline=bool(style.underline), italic=bool(style.italic),
        reverse=bool(style.reverse) or stands_out, meta=style.meta or None, link=style.link,
    )  # fmt: skip


class CubeColours(LineFilter):
    """Moves every colour onto the cube."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [
            Segment(text, _in_cube(style) if style else style, control)
            for text, style, control in segments
        ]


class WithoutColour(LineFilter):
    """Takes every colour out."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [
            Segment(text, _colourless(style) if style else style, control)
            for text, style, control in segments
        ]
