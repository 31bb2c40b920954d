"""The look: colours that can be told apart, letters that are there, names that keep colours."""

from __future__ import annotations

import itertools

import altair as alt
import numpy as np
import pytest

from ledger.charts.registry import draw
from ledger.charts.theme import FONT, FONT_FOLDER, THEMES, looks, register
from ledger.errors import UseError

from . import answers
from .reading import spec_of

# Severity 1 of "A Physiologically-based Model for Simulation of Color Vision Deficiency",
# IEEE Transactions on Visualization and Computer Graphics, 2009 (table of matrices, from memory).
SIGHT = {
    "full": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
# OKLab, as published with CSS Color 4.
TO_CONES = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
TO_LAB = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)


def light(colour: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    values = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def distance(one: str, other: str, sight: str) -> float:
    places = [
        np.cbrt(np.clip(SIGHT[sight] @ light(c), 0, 1) @ TO_CONES.T) @ TO_LAB.T
        for c in (one, other)
    ]
    return float(np.linalg.norm(places[0] - places[1]))


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2."""
    bright = sorted(float(light(c) @ [0.2126, 0.7152, 0.0722]) for c in (one, other))
    return (bright[1] + 0.05) / (bright[0] + 0.05)


@pytest.mark.parametrize("sight", SIGHT)
@pytest.mark.parametrize("theme", THEMES)
def test_any_two_series_can_be_told_apart_by_every_sight(theme: str, sight: str) -> None:
    pairs = itertools.combinations(THEMES[theme].series, 2)

    nearest = min(distance(a, b, sight) for a, b in pairs)

    assert nearest > 0.11


@pytest.mark.parametrize("name", THEMES)
def test_words_and_marks_stand_out_from_the_paper(name: str) -> None:
    theme = THEMES[name]

    assert contrast(theme.ink, theme.paper) > 12
    assert contrast(theme.muted, theme.paper) > 4.5
    assert min(contrast(c, theme.paper) for c in theme.states.values()) > 3
    assert min(contrast(c, theme.paper) for c in theme.series) > 2.7


def test_letters_come_along_with_their_licence() -> None:
    files = {f.name: f.stat().st_size for f in FONT_FOLDER.iterdir()}

    assert {"NotoSans-Regular.ttf", "NotoSans-Bold.ttf", "OFL.txt"} <= set(files)
    assert sum(files.values()) < 1_500_000
    assert "SIL OPEN FONT LICENSE" in (FONT_FOLDER / "OFL.txt").read_text(encoding="utf-8")


def test_every_stack_of_fonts_ends_in_a_generic_one() -> None:
    spec = spec_of(answers.ranking(3))

    stacks = _values(spec, "font")

    assert FONT in stacks
    assert all(stack.endswith("sans-serif") for stack in stacks)


def test_both_themes_are_known_by_name_and_neither_is_switched_on() -> None:
    register()

    assert {"offglass-light", "offglass-dark"} <= set(alt.theme.names())
    assert alt.theme.active == "default"


def test_a_chart_looks_the_same_whatever_theme_a_notebook_has_on() -> None:
    answer = answers.ranking(3)
    plain = spec_of(answer)
    register()

    with alt.theme.enable("dark"):
        under_another = spec_of(answer)

    assert under_another == plain


def test_a_league_keeps_its_colour_when_the_cohort_narrows() -> None:
    ledger = answers.LEAGUES
    theme = THEMES["light"]

    all_of_them = looks(ledger, theme, ledger)
    some = looks(ledger[3:6], theme, ledger)

    assert some == {name: all_of_them[name] for name in ledger[3:6]}


def test_a_league_that_comes_in_later_changes_no_other() -> None:
    theme = THEMES["light"]
    before = looks(answers.LEAGUES[:5], theme, answers.LEAGUES[:5])

    after = looks(answers.LEAGUES[:6], theme, answers.LEAGUES[:6])

    assert before.items() <= after.items()


def test_a_lone_league_has_its_own_colour_without_a_list_of_all() -> None:
    theme = THEMES["light"]

    first = [looks([name], theme)[name] for name in answers.LEAGUES]

    assert first == [looks([name, name], theme)[name] for name in answers.LEAGUES]
    assert len({look.colour for look in first}) > 3


@pytest.mark.parametrize("many", [8, 12, 30])
def test_no_two_series_of_a_picture_share_colour_and_shape(many: int) -> None:
    names = [f"League {i}" for i in range(many)]

    found = looks(names, THEMES["dark"])

    assert len({(look.colour, look.shape) for look in found.values()}) == many


@pytest.mark.parametrize("option", [{"theme": "pink"}, {"size": "huge"}])
def test_an_unknown_theme_or_size_is_refused_by_name(option: dict[str, str]) -> None:
    with pytest.raises(UseError, match=r"is called '(pink|huge)': use"):
        draw(answers.ranking(2), **option)


def _values(value: object, key: str) -> list[str]:
    if isinstance(value, dict):
        own = [v for k, v in value.items() if k == key and isinstance(v, str)]
        return own + [f for v in value.values() for f in _values(v, key)]
    if isinstance(value, list):
        return [f for v in value for f in _values(v, key)]
    return []
