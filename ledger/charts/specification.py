"""An answer as a chart in Vega-Lite, and in words for those who cannot see it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ledger.charts.theme import size_of, theme_of
from ledger.questions.answer import Answer
from ledger.safe_text import safe

# The bundled letters have no minus sign: whatever else a machine has would stand in for it.
_MINUS, _DASH = "\u2212", "\u2013"


def alt_text(answer: Answer) -> str:
    """The picture in words, for those who cannot see it."""
    return f"{safe(answer.title)} {safe(answer.headline)} {safe(answer.cohort)}.".strip()


def specification(answer: Answer, *, theme: str = "light", size: str = "wide") -> dict[str, Any]:
    """The chart in Vega-Lite, data inside, every text in it safe to show.

    Raises:
        UseError: if the question has no chart, or theme or size is unknown.
    """
    import altair as alt
    from altair.utils.schemapi import debug_mode

    from ledger.charts.registry import draw

    theme_of(theme), size_of(size)
    drawer: Callable[..., Any] = answer.draw or draw
    # That the charts are valid is a matter of their tests; looking again at each part costs as long
    # as drawing it.
    with debug_mode(False):
        chart = drawer(answer, theme=theme, size=size)
        # Whatever theme a notebook has switched on, the picture is the same.
        with alt.theme.enable(f"offglass-{theme}"):
            spec: dict[str, Any] = _safe(chart.to_dict(validate=False))
    return {**spec, "description": alt_text(answer)}


def _safe(value: Any) -> Any:
    if isinstance(value, str):
        return safe(value).replace(_MINUS, _DASH)
    if isinstance(value, Mapping):
        return {str(k): _safe(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_safe(v) for v in value]
    return value
