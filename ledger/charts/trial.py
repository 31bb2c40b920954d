"""How the trial is going: each session both ways, and below it the difference so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.axes import ends, share_y
from ledger.charts.course_marks import DODGE, Course, said_of
from ledger.charts.sheet import Key, Sheet, at_x, at_y, blank, placed_text, sheet
from ledger.charts.theme import MARGIN, Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

_AXIS_ROOM = 44
_BETWEEN = 48
_LETTERS = 12.0
_UPPER = 0.46


@dataclass(frozen=True, slots=True)
class _Trial:
    """What the answer says of one trial.

    Attributes:
        rows: a session and technique each.
        course: how it stood after each session.
        result: how it stands.
        usual: the technique he uses, as the rows name it.
        tried: the one he tries.
        last: the last session that the axis has room for.
        practice_only: sessions of the plan that only practise; they come first.
    """

    rows: Sequence[Row]
    course: Sequence[Row]
    result: Row
    usual: str
    tried: str
    last: int
    practice_only: int


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart | alt.ConcatChart:
    """Sessions side by side, the planned ones that are still to come as empty room."""
    trial = _trial(answer)
    if trial is None:
        return blank(answer, theme, size, "No session yet: nothing to draw.")
    looks = any(row.get("stop_low") is not None for row in trial.course)
    left_out = sorted({r["session"] for r in trial.rows if not r.get("counted")})
    attempts = sum(int(r.get("attempts") or 0) for r in trial.rows)
    figure = _stands(trial)
    room = max(measure.width(word, 13, bold=True) for word in figure)
    page = sheet(
        answer,
        theme,
        size,
        keys=_keys(trial, theme),
        left=MARGIN + _AXIS_ROOM,
        right=MARGIN + 14 + room,
        head=28,
        foot=40,
        caption=caption.told(
            answer,
            f"{wording.counted(len(_sessions(trial)), 'session')}, "
            f"{wording.counted(attempts, 'attempt')} of practice.",
            "Upright lines: 95 % intervals; hollow: one session has none.",
            "The long thin line at a look must lie on one side of 0 for the trial to end there."
            if looks
            else "",
            f"Not counted, pale: session {wording.listed([str(s) for s in left_out])}."
            if left_out
            else "",
            studied_too=False,
        ),
    )
    return _panels(page, trial, figure)


def _trial(answer: Answer) -> _Trial | None:
    rows = [row for row in answer.main.rows() if row.get("session") is not None]
    result = next(iter(answer.parts["result"].rows()), None) if "result" in answer.parts else None
    if not rows or result is None:
        return None
    names = list(dict.fromkeys(str(row.get("technique")) for row in rows))
    usual = str(result.get("usual") or names[0])
    tried = str(result.get("tried") or names[-1])
    course = answer.parts["course"].rows() if "course" in answer.parts else []
    plan = answer.parts["plan"].rows() if "plan" in answer.parts else []
    sessions = [int(row["session"]) for row in (*rows, *plan)]
    aside = {int(row["session"]) for row in plan if not row.get("counted")}
    return _Trial(rows, course, result, usual, tried, max(sessions), len(aside))


def _sessions(trial: _Trial) -> list[int]:
    return sorted({int(row["session"]) for row in trial.rows})


def _keys(trial: _Trial, theme: Theme) -> tuple[Key, ...]:
    return tuple(
        Key(wording.technique_words([safe(name)]), colour, shape)
        for name, (colour, shape) in _looks(trial, theme).items()
    )


def _looks(trial: _Trial, theme: Theme) -> dict[str, tuple[str, str]]:
    return {
        trial.usual: (theme.states["not"], "square"),
        trial.tried: (theme.states["adopter"], "circle"),
    }


def _stands(trial: _Trial) -> tuple[str, str]:
    """The last difference in words, and after how many sessions it is."""
    found = trial.result
    after = f"after {found.get('sessions') or 0} of {found.get('planned') or '–'}"
    return said_of(found) or "no difference yet", after


def _panels(page: Sheet, trial: _Trial, figure: tuple[str, str]) -> alt.ConcatChart:
    room = page.height - _BETWEEN
    upper, lower = room * _UPPER, room * (1 - _UPPER)
    x = alt.X(
        "session:Q",
        scale=alt.Scale(domain=[0.5, trial.last + 0.5], nice=False, zero=False),
        axis=None,
    )
    first = [
        *_looked(page, trial, (-10, upper), (upper + _BETWEEN, upper + _BETWEEN + lower)),
        *_rates(page, trial, x, upper),
        *_words(page, trial, upper, lower),
        *page.words(),
    ]
    difference = Course(page, tuple(trial.course), x, lower)
    second = [*difference.layers(), *_last_words(page, figure, difference.end)]
    panels = [
        alt.LayerChart(layer=layers).properties(width=page.width, height=height)
        for layers, height in ((first, upper), (second, lower))
    ]
    return page.finish_panels(
        alt.ConcatChart(
            concat=panels, columns=1, bounds="flush", spacing={"row": _BETWEEN, "column": 0}
        ),
        width=page.width,
    )


def _place(page: Sheet, trial: _Trial, session: float) -> float:
    """The middle of a session in chart units from the plot's left edge."""
    return (session - 0.5) / trial.last * page.width


def _rates(page: Sheet, trial: _Trial, x: alt.X, height: float) -> list[alt.Chart]:
    looks = _looks(trial, page.theme)
    rows = [
        {
            "session": row["session"] + (-DODGE if row["technique"] == trial.usual else DODGE),
            "rate": row["rate"],
            "low": row["low"],
            "high": row["high"],
            "technique": wording.technique_words([safe(str(row["technique"]))]),
            "date": safe(str(row.get("date") or "–")),
            "made": f"{row.get('made')} of {row.get('attempts')}",
            "colour": looks.get(str(row["technique"]), looks[trial.usual])[0],
            "shape": looks.get(str(row["technique"]), looks[trial.usual])[1],
            "strength": 1.0 if row.get("counted") else 0.35,
        }
        for row in trial.rows
        if row.get("rate") is not None
    ]
    values = [r[f] for r in rows for f in ("rate", "low", "high") if r[f] is not None]
    bottom, top = ends(values or [0.0, 1.0], 0.1)
    bottom, top = max(0.0, bottom), min(1.0, top)

    def y(field: str) -> alt.Y:
        return share_y(field, top, bottom=bottom, ticks=max(2, min(5, int(height // 34))))

    base = page.data.add(rows)
    colour = alt.Color("colour:N", scale=None)
    strength = alt.Opacity("strength:Q", scale=None)
    limits = base.mark_rule(strokeWidth=2).encode(
        x=x, y=y("low"), y2=alt.Y2("high:Q"), color=colour, opacity=strength
    )
    dots = base.mark_point(size=60, filled=True).encode(
        x=x,
        y=y("rate"),
        color=colour,
        shape=alt.Shape("shape:N", scale=None),
        opacity=strength,
        tooltip=[
            alt.Tooltip("date:N", title="date"),
            alt.Tooltip("technique:N", title="shot"),
            alt.Tooltip("made:N", title="made"),
        ],
    )
    return [limits, dots]


def _looked(page: Sheet, trial: _Trial, *panels: tuple[float, float]) -> list[alt.Chart]:
    """Sessions after which the trial is looked at, through both panels."""
    done = {int(r["session"]): True for r in trial.course if r.get("limit") is not None}
    counted = sum(r.get("sessions") is not None for r in trial.course)
    following = trial.result.get("next_look")
    if following is not None and following > counted:
        shot = max((int(r["session"]) for r in trial.course), default=0)
        ahead = max(shot, trial.practice_only) + int(following) - counted
        if ahead <= trial.last:
            done.setdefault(ahead, False)
    rows = [
        {
            "x": _place(page, trial, session + 0.5),
            "y": -18,
            "words": "looked at" if past else "next look",
        }
        for session, past in sorted(done.items())
    ]
    theme = page.theme
    lines = (
        page.data.add([{"x": r["x"], "y": top, "y_end": end} for r in rows for top, end in panels])
        .mark_rule(strokeWidth=1, strokeDash=[4, 3], color=theme.muted, clip=False)
        .encode(x=at_x("x"), y=at_y("y"), y2=alt.Y2("y_end:Q"))
    )
    words = placed_text(page.data, rows, color=theme.muted, size=_LETTERS, align="center")
    return [lines, words] if rows else []


def _words(page: Sheet, trial: _Trial, upper: float, lower: float) -> list[alt.Chart]:
    """What the panels measure, and the sessions under them."""
    theme, foot = page.theme, upper + _BETWEEN + lower + 14
    titles = [
        {"x": MARGIN - page.left, "y": -18, "words": "share made"},
        {
            "x": MARGIN - page.left,
            "y": upper + _BETWEEN - 18,
            "words": f"makes per 100 more {wording.technique_words([safe(trial.tried)])} "
            f"than {wording.technique_words([safe(trial.usual)])}, over the sessions so far",
        },
    ]
    step = max(1, -(-trial.last * 26 // max(int(page.width), 1)))
    numbers = [
        {"x": _place(page, trial, session), "y": foot, "words": str(session)}
        for session in range(1, trial.last + 1)
        if session % step == 0 or session == 1
    ]
    named = [{"x": page.width / 2, "y": foot + 20, "words": "session of the plan"}]
    return [
        placed_text(page.data, titles, color=theme.muted, size=_LETTERS),
        placed_text(
            page.data, [*numbers, *named], color=theme.muted, size=_LETTERS, align="center"
        ),
    ]


def _last_words(page: Sheet, figure: tuple[str, str], at: float) -> list[alt.Chart]:
    x, theme = page.width + 10, page.theme
    return [
        placed_text(
            page.data, [{"x": x, "y": at, "words": figure[0]}], color=theme.ink, size=13, bold=True
        ),
        placed_text(
            page.data, [{"x": x, "y": at + 17, "words": figure[1]}], color=theme.muted, size=12
        ),
    ]
