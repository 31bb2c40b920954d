"""Axes in the words of the project: shares in percent, differences with their sign.

The expressions that write the figures stand here and nowhere else; none is ever made from data.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import altair as alt

_PERCENT = "round(datum.value * 1000) / 10 + ' %'"
# Differences of rates stand in shares and are read in makes per 100.
_PER_HUNDRED = (
    "(datum.value > 0.0001 ? '+' : datum.value < -0.0001 ? '–' : '') "
    "+ abs(round(datum.value * 1000) / 10)"
)
_SIGNED = (
    "(datum.value > 0.0001 ? '+' : datum.value < -0.0001 ? '–' : '') "
    "+ abs(round(datum.value * 100) / 100)"
)


def share_x(field: str, domain: Sequence[float], *, title: str | None, ticks: int) -> alt.X:
    """An encoding of a share on a level axis in percent.

    Args:
        field: the builder's own name of the field.
        domain: both ends of the scale, in shares.
        title: what the axis measures.
        ticks: about how many lines to read it by.
    """
    return _level(field, domain, _PERCENT, title, ticks)


def difference_x(field: str, domain: Sequence[float], *, title: str | None, ticks: int) -> alt.X:
    """An encoding of a difference of rates on a level axis in makes per 100."""
    return _level(field, domain, _PER_HUNDRED, title, ticks)


def signed_x(field: str, domain: Sequence[float], *, title: str | None, ticks: int) -> alt.X:
    """An encoding of a figure that may be a loss on a level axis."""
    return _level(field, domain, _SIGNED, title, ticks)


def plain_x(field: str, domain: Sequence[float], *, title: str | None, ticks: int) -> alt.X:
    """An encoding of a figure on a level axis that writes it as it is."""
    return _level(field, domain, None, title, ticks)


def share_y(
    field: str,
    top: float,
    *,
    ticks: int | Sequence[float],
    labels: bool = True,
    bottom: float = 0.0,
) -> alt.Y:
    """An encoding of a share on an upright axis in percent.

    Args:
        field: the builder's own name of the field.
        top: the upper end of the scale, a share.
        ticks: about how many lines to read it by, or where they are.
        labels: whether the lines have their figures.
        bottom: the lower end of the scale.
    """
    return _upright(field, (bottom, top), _PERCENT, ticks, labels)


def difference_y(field: str, domain: Sequence[float], *, ticks: int) -> alt.Y:
    """An encoding of a difference of rates on an upright axis in makes per 100."""
    return _upright(field, domain, _PER_HUNDRED, ticks, labels=True)


def plain_y(field: str, domain: Sequence[float], *, ticks: int | Sequence[float]) -> alt.Y:
    """An encoding of a figure on an upright axis that writes it as it is."""
    return _upright(field, domain, None, ticks, labels=True)


def ends(values: Sequence[float], step: float) -> tuple[float, float]:
    """Both ends of a scale that holds the values, at whole steps and never both the same."""
    low = math.floor(round(min(values) / step, 6)) * step
    high = math.ceil(round(max(values) / step, 6)) * step
    return (low, high) if high > low else (low - step, high + step)


def _level(
    field: str, domain: Sequence[float], label: str | None, title: str | None, ticks: int
) -> alt.X:
    axis = alt.Axis(labelFlush=False, title=title, tickCount=ticks)
    if label:
        axis["labelExpr"] = label
    return alt.X(f"{field}:Q", scale=_scale(domain), axis=axis)


def _upright(
    field: str,
    domain: Sequence[float],
    label: str | None,
    ticks: int | Sequence[float],
    labels: bool,
) -> alt.Y:
    axis = alt.Axis(title=None, labels=labels)
    if label:
        axis["labelExpr"] = label
    axis["tickCount" if isinstance(ticks, int) else "values"] = ticks
    return alt.Y(f"{field}:Q", scale=_scale(domain), axis=axis)


def _scale(domain: Sequence[float]) -> alt.Scale:
    return alt.Scale(domain=list(domain), nice=False, zero=False)
