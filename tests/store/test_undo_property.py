"""Whatever two files of the same games say: their order does not matter, and either can go."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.store.filing import HEAD, alone, desk, rows

File = tuple[str, str]
Attempt = dict[str, Any]
TECHNIQUES = ("board", "straight", "underhand", "")


@st.composite
def truth(draw: st.DrawFn) -> list[Attempt]:
    """The attempts of two games: at most seven each, so that no renumbering is ever supposed."""
    return [
        {
            "game": game,
            "player": draw(st.integers(0, 2)),
            "made": draw(st.integers(0, 1)),
            "technique": draw(st.sampled_from(TECHNIQUES)),
            "order": 3 * place + 1,
            "clock": 600 - 40 * place,
            "id": f"{game}-{place}",
        }
        for game in range(2)
        for place in range(draw(st.integers(1, 7)))
    ]


def text(attempts: list[Attempt], columns: tuple[str, ...]) -> str:
    """A file of some columns."""
    lines = []
    for a in attempts:
        line = f"Halma League,2023-24,2023-10-{14 + a['game']},G{a['game']},Skerry"
        line += f",Player {a['player']},{a['made']}"
        values = {
            "attempt_id": a["id"],
            "order": a["order"],
            "period": 1,
            "clock": a["clock"],
            "technique": a["technique"],
        }
        lines.append(line + "".join(f",{values[c]}" for c in columns))
    return rows(",".join((HEAD, *columns)), *lines)


def box(attempts: list[Attempt]) -> str:
    """The box score of the same."""
    counts: dict[tuple[int, int], list[int]] = {}
    for a in attempts:
        both = counts.setdefault((a["game"], a["player"]), [0, 0])
        both[0] += a["made"]
        both[1] += 1
    lines = [
        f"Halma League,2023-24,2023-10-{14 + g},G{g},Skerry,Player {p},{m},{n}"
        for (g, p), (m, n) in counts.items()
    ]
    return rows(HEAD + ",attempts", *lines)


PART = [("attempt_id",), ("order",), ("period", "clock"), ("attempt_id", "order")]
WHOLE = [(), ("order",), ("period", "clock"), ("box",)]


@st.composite
def pairs(draw: st.DrawFn) -> tuple[File, File]:
    """Two files about one truth: parts of it that know their places, or the whole in any form."""
    attempts = draw(truth())
    files: list[File] = []
    by_place = draw(st.sampled_from([*PART, None]))
    for _ in range(2):
        tagged = draw(st.sampled_from([(), ("technique",)]))
        if by_place is None:
            columns = draw(st.sampled_from(WHOLE))
            if columns == ("box",):
                files.append((box(attempts), "box"))
                continue
            files.append((text(attempts, (*columns, *tagged)), "attempts"))
            continue
        part = [a for a in attempts if draw(st.booleans())] or attempts[:1]
        files.append((text(part, (*by_place, *tagged)), "attempts"))
    return files[0], files[1]


@settings(
    max_examples=6,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(pairs())
def test_two_files_in_either_order_are_one_ledger_and_each_can_be_taken_back(
    pair: tuple[File, File],
) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with desk(folder) as d:
            reports = [d.bring(*file) for file in pair]
            for report in reports:
                parts = (report.stored, report.rejected, report.skipped)
                assert report.rows == sum(parts) + report.already_there + report.contradicting
                assert not report.contradicting
            both = d.dump()
            assert both == alone(pair[1], pair[0])
            assert d.whole() == []
            if any(r.source is None for r in reports):
                return
            for number in (0, 1):
                d.undo(reports[number].source)
                assert d.dump() == alone(pair[1 - number])
                d.again(reports[number].source)
                assert d.dump() == both
            assert d.whole() == []
