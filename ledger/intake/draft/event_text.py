"""A regular expression for event texts, drafted from the texts themselves.

Every text about a free throw is cut into parts that are known (the words for a free throw, a
result, `n of m`, what gave the trip, a count of points) and gaps. Texts with the same order of
parts make one pattern; in a gap, what all texts share stays as written, what differs is a name.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from ledger.intake.draft import lexicon

_TRIP = re.compile(r"(?<!\d)(\d)( of | out of | de | von | di | sur | od | z |/| / )(\d)(?!\d)")
_POINTS = re.compile(r"(?i)\(\s*\d+\s*(?:pts?|points?|p|pkt|punkte|puntos)\.?\s*\)")
_BRACKET = re.compile(r"^(.+?)( ?)[(\[]([^()\[\]]+)[)\]]$")
_NUMBERED = re.compile(r"^#?\d{1,3}[ .,]+\S")
_MOST_PATTERNS = 12
_MOST_WORDINGS = 6


@dataclass(frozen=True, slots=True)
class _Part:
    kind: str
    text: str
    start: int
    end: int


@dataclass(slots=True)
class _Shape:
    """Texts with one order of parts."""

    parts: list[list[_Part]] = field(default_factory=list)
    gaps: list[list[str]] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    rows: int = 0


@dataclass(frozen=True, slots=True)
class Drafted:
    """Patterns for one column of texts.

    Attributes:
        patterns: pattern, rows it was made from, an example; the commonest first.
        with_trips: the patterns once more with the doubtful `n/m` read as a trip.
        results: word as written to rows, of words that may say made or missed.
        unsaid: rows whose text holds no such word.
        points: rows without a word of result that count points, and rows with one that do.
        doubtful_trips: an example of `n/m` that may be the player's count.
        counts: `n/m` plainly is the player's count.
        groups: names of the groups in all patterns.
        phrases: the words for a free throw that were seen, lower case, the longest first.
        left: how many texts about free throws no pattern covers, and an example.
    """

    patterns: tuple[tuple[str, int, str], ...]
    with_trips: tuple[str, ...]
    results: Mapping[str, int]
    unsaid: int
    points: tuple[int, int]
    doubtful_trips: str
    counts: bool
    groups: frozenset[str]
    phrases: tuple[str, ...] = ()
    left: tuple[int, str] = (0, "")


@dataclass(frozen=True, slots=True)
class _Known:
    """Words of all texts by the kind of part, names of teams, and whether a name is wanted."""

    words: Mapping[str, set[str]]
    teams: frozenset[str]
    want_player: bool


def draft(
    texts: Mapping[str, int],
    *,
    want_player: bool,
    teams: Iterable[str] = (),
    want_made: bool = True,
) -> Drafted:
    """Draft patterns for the texts about free throws.

    Args:
        texts: text to rows; only those about free throws are looked at.
        want_player: the name stands in the text and nowhere else.
        teams: names of teams, to tell a team in brackets from a name.
        want_made: the result stands in the text.
    """
    meant = {t: n for t, n in texts.items() if lexicon.FREE_THROW.search(t)}
    trips = [m for t in meant for m in _TRIP.finditer(t)]
    slash = any("/" in m[2] for m in trips)
    # No trip has five throws, and a broken one may be written 0/2.
    counts = slash and any(int(m[3]) > 4 for m in trips)
    example = next((m[0] for m in trips if "/" in m[2]), "") if slash and not counts else ""
    shapes = _shapes(meant, want_made=want_made)
    # A pattern that asks for a word of result stands before one that would also fit without it.
    ranked = sorted(shapes.items(), key=lambda item: ("made" not in item[0], -item[1].rows))
    # A word seen in one kind of text may come in the others next week.
    words = {
        kind: {
            p.text for s in shapes.values() for parts in s.parts for p in parts if p.kind == kind
        }
        for kind in ("made", "kind", "ft")
    }
    known = _Known(words, frozenset(t.casefold() for t in teams), want_player)

    def written(read_trips: bool) -> list[tuple[str, int, str]]:
        return [
            (_pattern(order, shape, known, read_trips), shape.rows, shape.texts[0])
            for order, shape in ranked[:_MOST_PATTERNS]
        ]

    patterns = written(not slash)
    results, unsaid, points = _tally([shape for _, shape in ranked], meant)
    left = ranked[_MOST_PATTERNS:]
    groups = {g for p, _, _ in patterns for g in re.findall(r"\?P<(\w+)>", p)}
    return Drafted(
        patterns=tuple(patterns),
        with_trips=tuple(p for p, _, _ in written(True)) if example else (),
        results=results,
        unsaid=unsaid,
        points=points,
        doubtful_trips=example,
        counts=counts,
        groups=frozenset(groups),
        phrases=tuple(sorted({t.casefold() for t in words["ft"]}, key=lambda t: (-len(t), t))),
        left=(sum(s.rows for _, s in left), left[0][1].texts[0] if left else ""),
    )


def _tally(
    shapes: Iterable[_Shape], rows_of: Mapping[str, int]
) -> tuple[dict[str, int], int, tuple[int, int]]:
    """Words of results with their rows, rows without one, and rows of both that count points."""
    results: Counter[str] = Counter()
    spelled: dict[str, str] = {}
    unsaid = with_points = missed_with_points = 0
    for shape in shapes:
        for parts, text in zip(shape.parts, shape.texts, strict=True):
            said = [p for p in parts if p.kind == "made"]
            rows = rows_of[text]
            counted = any(p.kind == "points" for p in parts)
            if said:
                word = spelled.setdefault(said[0].text.casefold(), said[0].text)
                results[word] += rows
                missed = counted and lexicon.result(said[0].text) == "no"
                missed_with_points += rows if missed else 0
            else:
                unsaid += rows
                with_points += rows if counted else 0
    return dict(results), unsaid, (with_points, missed_with_points)


def _shapes(texts: Mapping[str, int], *, want_made: bool) -> dict[tuple[str, ...], _Shape]:
    shapes: dict[tuple[str, ...], _Shape] = {}
    for text, rows in texts.items():
        parts = _parts(text, want_made=want_made)
        order = tuple(p.kind for p in parts)
        shape = shapes.setdefault(order, _Shape())
        gaps, at = [], 0
        for part in parts:
            gaps.append(text[at : part.start])
            at = part.end
        gaps.append(text[at:])
        shape.parts.append(parts)
        shape.gaps.append(gaps)
        shape.texts.append(text)
        shape.rows += rows
    return shapes


def _parts(text: str, *, want_made: bool) -> list[_Part]:
    found: list[_Part] = []

    def add(kind: str, match: re.Match[str] | None) -> None:
        if match is None:
            return
        if all(match.end() <= p.start or match.start() >= p.end for p in found):
            found.append(_Part(kind, match[0], match.start(), match.end()))

    add("ft", lexicon.FREE_THROW.search(text))
    add("trip", _TRIP.search(text))
    add("points", _POINTS.search(text))
    add("kind", lexicon.TRIP_KIND.search(text))
    if want_made:
        for match in lexicon.RESULT.finditer(text):
            before = len(found)
            add("made", match)
            if len(found) > before:
                break
    return sorted(found, key=lambda p: p.start)


def _pattern(
    order: Sequence[str],
    shape: _Shape,
    known: _Known,
    read_trips: bool,
) -> str:
    pieces: list[str] = []
    named = not known.want_player
    longest = _name_gap(shape) if known.want_player else -1
    for at in range(len(order) + 1):
        strings = [gaps[at] for gaps in shape.gaps]
        piece, took = _gap(strings, known.teams, name_here=not named and at == longest)
        named = named or took
        pieces.append(piece)
        if at < len(order):
            pieces.append(_part_of(order[at], [p[at] for p in shape.parts], known, read_trips))
    return "^" + "".join(pieces) + "$"


def _name_gap(shape: _Shape) -> int:
    """The gap in which the name stands: the one with most different texts, then with letters."""
    gaps = range(len(shape.gaps[0]))

    def score(at: int) -> tuple[int, int]:
        strings = {gaps_of[at] for gaps_of in shape.gaps}
        lettered = [s for s in strings if re.search(r"[^\W\d_]", s)]
        return (len(lettered), max(map(len, lettered), default=0))

    best = max(gaps, key=score)
    return best if score(best)[0] else -1


def _part_of(kind: str, parts: Sequence[_Part], known: _Known, read_trips: bool) -> str:
    texts = sorted(known.words.get(kind, {p.text for p in parts}), key=lambda t: (-len(t), t))
    if kind == "trip":
        between = {m[2] for p in parts if (m := _TRIP.search(p.text))}
        joint = literal(between.pop()) if len(between) == 1 else r"\D{1,8}"
        return rf"(?P<trip_shot>\d){joint}(?P<trip_of>\d)" if read_trips else rf"\d+{joint}\d+"
    if kind == "points":
        return literal(texts[0], digits=True)
    # In two spellings of capitals one pattern is enough where the engine is told so.
    choice = "|".join(literal(t) for t in texts)
    if kind == "made":
        return f"(?P<made>{choice})"
    if kind == "kind":
        return f"(?P<trip_kind>{choice})"
    return f"(?:{choice})" if len(texts) > 1 else choice


def _gap(strings: Sequence[str], teams: frozenset[str], *, name_here: bool) -> tuple[str, bool]:
    """The pattern of one gap, and whether it holds the name."""
    different = sorted(set(strings))
    if len(different) == 1 and not name_here:
        return literal(different[0], digits=True), False
    front, back = _shared(different)
    middles = [s[len(front) : len(s) - len(back) if back else None] for s in different]
    if not name_here:
        choice = sorted({literal(s, digits=True) for s in different}, key=lambda t: (-len(t), t))
        if len(choice) <= _MOST_WORDINGS:
            return f"(?:{'|'.join(choice)})", False
        return f"{literal(front, digits=True)}.*?{literal(back, digits=True)}", False
    inner = _name_pattern(middles, teams)
    return f"{literal(front, digits=True)}{inner}{literal(back, digits=True)}", True


def _name_pattern(middles: Sequence[str], teams: frozenset[str]) -> str:
    matched = [_BRACKET.match(m) for m in middles]
    bare = [m[1] for m in matched if m] if all(matched) else list(middles)
    lead, bare = _before_colon(bare, teams)
    numbered = sum(_NUMBERED.match(m) is not None for m in bare)
    if numbered:
        number = r"#?(?P<number>\d{1,3})[ .,]+"
        lead += number if numbered == len(bare) else f"(?:{number})?"
    if all(matched):
        inside = {m[3] for m in matched if m}
        gap = " " if all(m and m[2] for m in matched) else " ?"
        if not numbered and all(i.strip("# ").isdecimal() for i in inside):
            return r"(?P<player>.+?)" + gap + r"\(#?(?P<number>\d+)\)"
        if teams and all(i.casefold() in teams for i in inside):
            return lead + r"(?P<player>.+?)" + gap + r"[(\[](?P<team>[^()\[\]]+)[)\]]"
        return lead + r"(?P<player>.+?)" + gap + r"[(\[][^()\[\]]+[)\]]"
    return lead + (r"(?P<player>[^(]+?)" if not any("(" in m for m in bare) else r"(?P<player>.+?)")


def _before_colon(names: Sequence[str], teams: frozenset[str]) -> tuple[str, list[str]]:
    """The pattern of what stands before a colon in all names, and the names without it."""
    parts = [name.partition(": ") for name in names]
    heads = {head.casefold() for head, colon, _ in parts if colon}
    if not all(colon for _, colon, _ in parts):
        return "", list(names)
    is_team = bool(teams) and heads <= teams
    lead = r"(?P<team>[^:]+): " if is_team else r"[^:]+: "
    return lead, [rest for _, _, rest in parts]


_AROUND = re.compile(
    r"^((?:[\s:,;\-–.]|(?:by|von|de|par|di|for|from|to)\s)*)(.*?)([\s:,;\-–.!]*)$", re.S
)


def _shared(strings: Sequence[str]) -> tuple[str, str]:
    """What all texts of a gap begin and end with, up to whole words."""
    if len(strings) == 1:
        match = _AROUND.match(strings[0])
        assert match is not None
        return match[1], (match[3] if match[2] else "")
    front = _common(strings)
    front = front[: _word_end(front)]
    rest = [s[len(front) :] for s in strings]
    back = _common([s[::-1] for s in rest])[::-1]
    back = back[len(back) - _word_end(back[::-1]) :]
    if back.startswith((".", ")")) and len(back) > 1:
        back = back.lstrip(".") if back.startswith(".") else back
    return front, back


def _common(texts: Sequence[str]) -> str:
    """The letters that all texts begin with."""
    low, high = min(texts), max(texts)
    same = next((at for at, (a, b) in enumerate(zip(low, high, strict=False)) if a != b), None)
    return low[:same] if same is not None else low[: min(len(low), len(high))]


def _word_end(text: str) -> int:
    """Where the last whole word of a shared start ends."""
    if not text:
        return 0
    match = re.match(r"^(.*[\s:,;\-–(\[])", text, re.S)
    return match.end() if match else 0


def literal(text: str, *, digits: bool = False) -> str:
    """A text as a pattern for itself, its figures as any figures where they may change."""
    escaped = re.sub(r"([\\.^$*+?{}()|\[\]])", r"\\\1", text)
    return re.sub(r"\d+", r"\\d+", escaped) if digits else escaped
