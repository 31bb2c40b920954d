"""Who does it: the share of each watched player with its interval, the undecided set apart."""

from __future__ import annotations

from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.dots import Dot, Group, draw_dots, state_keys
from ledger.charts.judged import judged_rows, latest, place
from ledger.charts.sheet import blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """Judged players by state and share, then the undecided; players never watched are counted."""
    every = answer.main.rows()
    rows = latest(every)
    judged = judged_rows(rows)
    undecided = sorted((r for r in rows if r.get("state") == "undecided"), key=place)
    untagged = sum(r.get("state") == "untagged" for r in rows)
    refused = len(rows) - len(judged) - len(undecided) - untagged
    several = len({r.get("season") for r in every}) > 1
    if not judged and not undecided:
        return blank(answer, theme, size, "No player here has been watched: nothing to draw.")
    top, rest = _share_out(judged, undecided, size.rows)
    columns = ["season", "team"] if several else ["team"]
    roomy = size.width > 800
    groups = []
    if top:
        groups.append(Group("", tuple(_dot(r, columns, roomy=roomy) for r in top)))
    if rest:
        groups.append(
            Group("Cannot be called yet", tuple(_dot(r, columns, roomy=roomy) for r in rest))
        )
    page = sheet(
        answer,
        theme,
        size,
        keys=state_keys({str(r["state"]) for r in (*top, *rest)}, theme),
        foot=46,
        caption=caption.sentences(
            caption.first_of(len(top), len(judged), "judged players"),
            caption.first_of(len(rest), len(undecided), "players who cannot be called"),
            f"{wording.counted(untagged, 'player')} never watched: not drawn." if untagged else "",
            f"{wording.counted(refused, 'player')} not judged: not drawn." if refused else "",
            "Lines: 95 % intervals.",
            "Of each player his latest season with 8 watched attempts." if several else "",
            "Where a season stands beside a player he did it by then at the latest."
            if not roomy and any(r.get("adopter_since") for r in top)
            else "",
            caption.counted(answer, "player-season" if several else "player"),
            caption.studied(answer),
            caption.source(answer),
            *answer.notes,
        ),
    )
    return draw_dots(
        page, groups, domain=(0.0, 1.0), axis_title="share of watched attempts with the technique"
    )


def _share_out(judged: list[Row], undecided: list[Row], room: int) -> tuple[list[Row], list[Row]]:
    """Rows for either group: the undecided get what the judged leave, and a third at least."""
    room -= 1 if undecided else 0
    rest = min(len(undecided), max(room // 3, room - len(judged)))
    return judged[: room - rest], undecided[:rest]


def _dot(row: Row, columns: list[str], *, roomy: bool) -> Dot:
    state = str(row["state"])
    tagged, seen = row.get("tagged"), row.get("focus_tags")
    share, low, high = row.get("share"), row.get("low"), row.get("high")
    figure = caption.figure(seen, tagged, share, low, high)
    if roomy and tagged is not None and tagged >= 10 and seen is not None:
        figure += f", {seen} of {tagged}"
    where = [safe(str(row[c])) for c in columns if row.get(c)]
    return Dot(
        place="",
        name=safe(str(row.get("player") or "–")),
        second=" ".join(where),
        value=share,
        low=low,
        high=high,
        tick=None,
        state=state,
        figure=figure,
        remark=_remark(row, state, roomy=roomy),
    )


def _remark(row: Row, state: str, *, roomy: bool) -> str:
    since, more = row.get("adopter_since"), row.get("more_tags")
    if state == "adopter" and since:
        return f"by {safe(str(since))}{' at the latest' if roomy else ''}"
    if state == "undecided" and more is not None:
        words = safe(str(more))
        if roomy:
            return f"about {words} more to watch" if words.isdigit() else f"{words} to watch"
        return f"watch {words}" + (" more" if words.isdigit() else "")
    return ""
