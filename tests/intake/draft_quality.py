"""How good drafts are, on files whose profile a person wrote.

`python -m tests.intake.draft_quality` prints the table. A field of a file is *right* where all
records that the draft yields hold what the person's profile stores, *asked* where the draft leaves
it to a question, *left out* where it is not filled, and *wrong* where it is filled otherwise and
nobody was asked. Records that the person's profile refuses are not compared. What stands nowhere
in the file, because the person wrote it as a constant, is asked and counted apart (*not in it*).
A label of a game is right where it tells the same games apart: what a joined label is made of is
a matter of taste.
"""

from __future__ import annotations

import csv
import importlib
import io
import pkgutil
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import tests.intake.leagues as shelf
from ledger import resources
from ledger.intake import snapshot
from ledger.intake.draft import Draft, draft
from ledger.intake.forms import Form
from ledger.intake.options import ReadOptions
from ledger.intake.profile import Profile, parse
from ledger.intake.read import read_snapshot
from tests.intake.leagues.case import League

# What a record needs before it can be read at all, where the draft still asks for it.
_FILLERS = {
    "league": "Any League", "season": "1999-00", "date": "1999-12-31", "game": "any",
    "team": "Anybody", "player": "Nobody", "made": "yes",
}  # fmt: skip
# Written by the store or by a choice of the user's, not by a draft.
_NOT_DRAFTED = ("line", "derived", "incomplete", "file_id")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of the fields of one file."""

    name: str
    fields: Mapping[str, str]
    questions: int
    examples: Mapping[str, str] = field(default_factory=dict)

    def count(self, verdict: str) -> int:
        """How many fields have a verdict."""
        return sum(v == verdict for v in self.fields.values())


def leagues() -> Iterator[League]:
    """Every league on the shelf."""
    for module in sorted(m.name for m in pkgutil.iter_modules(shelf.__path__)):
        found = getattr(importlib.import_module(f"tests.intake.leagues.{module}"), "LEAGUE", None)
        if isinstance(found, League):
            yield found


def judge(league: League) -> Verdict:
    """Draft a profile for a league's first file and compare what it yields."""
    week = league.first
    taken = snapshot.of_bytes(week.data, week.file)
    by_hand = parse(league.profile, league.name)
    # Letters are never guessed: the reader types what the refusal names.
    made = draft(taken, form=Form(encoding=by_hand.form.encoding))
    asked = {p.field for p in made.proposals if p.asked}
    wanted = _expected(league)
    fields = [f for f in wanted[0] if f not in _NOT_DRAFTED and any(row[f] for row in wanted)]
    if by_hand.trips == "by clock":
        fields = [f for f in fields if f not in ("trip_shot", "trip_of")]
    if made.kind != league.kind:
        return Verdict(league.name, dict.fromkeys(fields, "wrong"), len(made.questions))
    rows = _yielded(made, taken, asked)
    verdicts: dict[str, str] = {}
    examples: dict[str, str] = {}
    for name in fields:
        verdicts[name], examples[name] = _verdict(name, wanted, rows, asked)
        if verdicts[name] == "asked" and name in by_hand.constants:
            verdicts[name] = "not in it"
    return Verdict(league.name, verdicts, len(made.questions), examples)


def _expected(league: League) -> list[dict[str, str]]:
    same = {k: v for k, v in league.everywhere.items() if v and k != "shot"}
    rows = list(csv.DictReader(io.StringIO(league.first.records.removeprefix("\n"))))
    return [{**row, **same} for row in rows]


def _yielded(made: Draft, taken: snapshot.Snapshot, asked: set[str]) -> list[dict[str, Any]]:
    profile: Profile = replace(parse(made.text, "draft"), ask=())
    schema = resources.schema(made.kind)
    required = {f["name"] for f in schema["fields"] if f.get("constraints", {}).get("required")}
    missing = (required & asked) - set(profile.fields)
    said = tuple((name, _FILLERS.get(name, "1")) for name in sorted(missing))
    words = tuple(
        ("made", word, "yes") for word in (profile.words.get("made", {}) or {}) if "made" in asked
    )
    dates = "dmy" if "date" in asked else None
    if "made" in asked:
        profile, said = _without(profile, "made"), (*said, ("made", "yes"))
        said = tuple(dict(said).items())
    if made.kind != "attempts" and "attempts" in dict(said):
        said = tuple((dict(said) | {"attempts": "1", "made": "1"}).items())
    options = ReadOptions(profile=profile, set_values=said, words=words, dates=dates)
    return list(read_snapshot(taken, None, options).frame.iter_rows(named=True))


def _without(profile: Profile, name: str) -> Profile:
    """The profile without an asked field, so that the rest of its rows can be read."""
    texts = tuple(replace(t, pattern=t.pattern.replace(f"?P<{name}>", "?:")) for t in profile.texts)
    return replace(
        profile,
        fields={k: v for k, v in profile.fields.items() if k != name},
        words={k: v for k, v in profile.words.items() if k != name},
        blanks={k: v for k, v in profile.blanks.items() if k != name},
        texts=texts,
    )


def _verdict(
    name: str,
    wanted: Sequence[Mapping[str, str]],
    rows: Sequence[Mapping[str, Any]],
    asked: set[str],
) -> tuple[str, str]:
    if name in asked:
        return "asked", ""
    if not rows or name not in rows[0]:
        if name == "order":
            return (
                ("right", "")
                if rows and {"period", "clock"} <= rows[0].keys()
                else ("left out", "")
            )
        return "left out", ""
    meant, got = _paired(wanted, rows)
    pairs = [(_plain(a[name]), _plain(b[name])) for a, b in zip(meant, got, strict=True)]
    if name == "shot":
        pairs = [(a, b or "free_throw") for a, b in pairs]
    if name == "game":
        return ("right", "") if _one_to_one(pairs) else ("wrong", str(pairs[:3]))
    if name == "order":
        # Refused rows leave gaps: the places count, not the numbers.
        pairs = _ranked(meant, got)
    if name == "season":
        pairs = [(a[2:4], b.removeprefix("20")[:2]) for a, b in pairs]
    bad = [pair for pair in pairs if pair[0] != pair[1]]
    return ("wrong", str(bad[:3])) if bad or not pairs else ("right", "")


def _paired(
    wanted: Sequence[Mapping[str, str]], rows: Sequence[Mapping[str, Any]]
) -> tuple[list[Mapping[str, str]], list[Mapping[str, Any]]]:
    """Records of the same line, in their order within it."""
    by_key: dict[tuple[int, int], Mapping[str, Any]] = {}
    seen: Counter[int] = Counter()
    for row in rows:
        by_key[int(row["line"]), seen[row["line"]]] = row
        seen[row["line"]] += 1
    meant, got = [], []
    times: Counter[int] = Counter()
    for row in wanted:
        line = int(row["line"])
        found = by_key.get((line, times[line]))
        times[line] += 1
        if found is not None:
            meant.append(row)
            got.append(found)
    return meant, got


def _ranked(
    meant: Sequence[Mapping[str, str]], got: Sequence[Mapping[str, Any]]
) -> list[tuple[str, str]]:
    games: dict[str, list[int]] = {}
    for at, row in enumerate(meant):
        games.setdefault(row.get("game", ""), []).append(at)
    pairs = []
    for places in games.values():
        a = sorted(places, key=lambda at: int(meant[at]["order"]))
        b = sorted(places, key=lambda at: int(got[at]["order"]))
        pairs += [(str(x), str(y)) for x, y in zip(a, b, strict=True)]
    return pairs


def _one_to_one(pairs: Sequence[tuple[str, str]]) -> bool:
    return bool(pairs) and len({a for a, _ in pairs}) == len(set(pairs)) == len(
        {b for _, b in pairs}
    )


def _plain(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = str(value)
    try:
        return f"{float(text):g}" if text.replace(".", "", 1).lstrip("-").isdecimal() else text
    except ValueError:
        return text


def table(verdicts: Sequence[Verdict]) -> str:
    """The figures as text."""
    width = max(len(v.name) for v in verdicts)
    kinds = ("right", "asked", "left out", "wrong", "not in it")
    lines = ["file".ljust(width) + "  fields" + "".join(k.rjust(10) for k in kinds) + "  questions"]
    for v in verdicts:
        counts = "".join(str(v.count(k)).rjust(10) for k in kinds)
        told = [f"{k} {n}" for n, k in v.fields.items() if k in ("left out", "wrong")]
        line = f"{v.name.ljust(width)}  {len(v.fields):6}{counts}  {v.questions:9}"
        lines.append(f"{line}  {', '.join(told)}".rstrip())
    sums = [sum(v.count(k) for v in verdicts) for k in kinds]
    total = sum(sums)
    lines.append(f"{'all'.ljust(width)}  {total:6}" + "".join(str(n).rjust(10) for n in sums))
    shares = "".join(f"{100 * n / held(verdicts):9.1f}%" for n in sums[:-1])
    lines.append("of what the files hold".ljust(width + 8) + shares)
    return "\n".join(lines)


def held(verdicts: Sequence[Verdict]) -> int:
    """How many fields the files themselves hold."""
    return sum(len(v.fields) - v.count("not in it") for v in verdicts)


if __name__ == "__main__":
    found = [judge(league) for league in leagues()]
    print(table(found))
    for verdict in found:
        for name, example in verdict.examples.items():
            if verdict.fields[name] == "wrong":
                print(f"{verdict.name}: {name}: expected and got {example}")
