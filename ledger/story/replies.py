"""What a staff will ask, and what the ledger says to it: from answers, or how to find out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.questions import wording
from ledger.story.story import Reply
from ledger.story.taking import filled, notes, saying, sentences, watched

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.story.usual import Beside

Row = Mapping[str, Any]

# The questions that replies are taken from.
SOURCES = ("uptake", "adopters", "switches", "misses", "candidates", "trial")
_NAMED = 3
# From here on a share has whole percent.
_WHOLE = 10
_CALLED = ("adopter", "occasional", "not")
_TOGETHER = (
    "Their rates hold the shot they have now: whether they were good before it is not compared."
)
# Makes per 100 that round to one.
_SHOWN_START = 0.5


def replies(answers: Mapping[str, Answer], beside: Beside) -> tuple[Reply, ...]:
    """What will be asked, in the order in which it usually is.

    Args:
        answers: those of `SOURCES`, by question.
        beside: what the ledger was told beside its records.
    """
    return (
        _how_many(answers["adopters"]),
        _went_back(answers["switches"]),
        _due(answers["switches"]),
        _good_anyway(answers["adopters"]),
        _elsewhere(answers["uptake"], answers["candidates"]),
        _legal(beside),
        _rebounds(answers["misses"]),
        _ten_games(answers["candidates"]),
        _when(answers["candidates"], answers["trial"], beside),
        _else_changed(answers["switches"]),
    )


def _how_many(adopters: Answer) -> Reply:
    called = any(row["state"] in _CALLED for row in adopters.main.rows())
    to_do = (
        "watch whole games, makes and misses alike (offglass ask watchlist), and bring the tags in "
        "with offglass import FILE"
        if adopters.ledger.attempts
        else "bring in attempts with offglass import FILE"
    )
    return Reply(
        "How many do it?",
        filled([adopters.headline]) if called else (),
        watched(adopters) if adopters.ledger.attempts else "",
        "adopters",
        "" if called else to_do,
        why="" if called else sentences(adopters.headline)[0],
    )


def _went_back(switches: Answer) -> Reply:
    tried = [row for row in switches.part("tried").rows() if row["went_back"]]
    # Once may be a tag that was misread: those seen doing it most often are named.
    went = sorted(tried, key=lambda row: -row["focus_tags"])
    people = switches.part("judged").rows()
    looked = sum(1 for row in people if row["judged"])
    # "Others" are others than those of the sentence before, which is not said here.
    said = [
        re.sub(r"\bother(s?)\b", r"player\1", s.partition("; ")[0].rstrip(".")) + "."
        for s in saying(switches, "and went back.", "and went back;")
    ]
    said += saying(switches, "stopped doing it", "seen doing it once")
    if went:
        named = wording.listed([_tried(row) for row in went[:_NAMED]])
        more = f" and {wording.count(len(went) - _NAMED)} more" if len(went) > _NAMED else ""
        said.append(f"Those who went back, most often seen doing it first: {named}{more}.")
    elif looked and not said:
        said = ["Nobody is on record as having tried it and gone back."]
    return Reply(
        "Who tried it and went back?",
        filled(said),
        f"{wording.counted(len(people), 'player')} looked at, {wording.count(looked)} of them "
        "watched enough to look for a change."
        if looked
        else "",
        "switches",
        "" if said else "watch more of each player (offglass ask watchlist --aim players)",
    )


def _tried(row: Row) -> str:
    made = wording.count(row["made"])
    return f"{row['player']} ({made} of {wording.count(row['focus_tags'])} made)"


def _due(switches: Answer) -> Reply:
    judged = [row for row in switches.main.rows() if row["gain"] is not None and _took_up(row)]
    said = saying(switches, "bad starts taken out")
    # Those who rose most raw are asked about; whom the rumour named is no proof of it.
    rose = sorted(judged, key=lambda row: (_named(row), not row["claim"], -row["raw_gain"]))
    said += [_start_of(row) for row in rose[:_NAMED]]
    said += saying(switches, "started as badly")
    return Reply(
        "Were they due for a rise anyway?",
        filled(said) if judged else (),
        f"{wording.counted(len(judged), 'change')} to it with attempts enough on both sides."
        if judged
        else "",
        "switches",
        ""
        if judged
        else "wait until somebody has 10 attempts on both sides of a change, or name "
        "one with offglass ask switches --declared PLAYER:DATE",
        why="" if judged else sentences(switches.headline)[0],
    )


def _took_up(row: Row) -> bool:
    """Whether he is seen to have changed to it, not away from it, and not only perhaps."""
    return bool(row["direction"] == "to_focus" and row["finding"] != "possible")


def _named(row: Row) -> bool:
    """Whether the rumour named him."""
    from ledger.questions.switches import NOTICED

    return str(row["claim_why"]) == NOTICED


def _start_of(row: Row) -> str:
    gain = wording.per_hundred(row["gain"], row["gain_low"], row["gain_high"])
    raw = f"{row['player']}: raw {wording.signed(row['raw_gain'])} per 100"
    test = "; the rumour named him: not a test" if _named(row) else ""
    bad = row["bad_start_points"]
    if bad is None or bad < _SHOWN_START:
        return f"{raw}, no bad start, allowing for luck {gain}{test}."
    return f"{raw}; his bad start alone would give {bad:+.0f}; with it taken out {gain}{test}."


def _good_anyway(adopters: Answer) -> Reply:
    row = next(iter(adopters.part("outranking").rows()), None)
    said = notes(adopters, "An adopter ranks above", "Of the first")
    said.append(_TOGETHER)
    compared = row is not None and row["chance_outranks"] is not None
    counted, why = "", str(row["p_why"] or "") if row is not None and not compared else ""
    to_do = (
        "ask it of other seasons than the one that raised the question: offglass ask adopters "
        "--season A..B"
        if why.endswith("not a test")
        else "watch more players, drawn by lot (offglass lot NAME --league L --season S "
        "--players N), until 3 who do it and 10 who do not are called"
    )
    if row is not None and compared:
        counted = (
            f"{wording.counted(row['adopters'], 'adopter')} and "
            f"{wording.counted(row['others'], 'other')} compared."
        )
    return Reply(
        "Were they good shooters anyway?",
        filled(said) if compared else (),
        counted,
        "adopters",
        "" if compared else to_do,
        why,
    )


def _elsewhere(uptake: Answer, candidates: Answer) -> Reply:
    said = notes(candidates, "No switcher comes from the league")
    last: dict[str, Row] = {}
    for row in uptake.main.rows():
        if row["share"] is not None and row["low"] is not None:
            last[str(row["league"])] = row
    shares = [
        f"{name} "
        + wording.rate_with_interval(r["share"], r["low"], r["high"], _WHOLE)
        + f" in {r['season']}, {wording.counted(r['tagged_players'], 'player')} watched"
        for name, r in last.items()
    ]
    if len(shares) > 1:
        said.append(f"Share of attempts, last season known: {'; '.join(shares)}.")
        said += saying(uptake, "no test of it.")
    return Reply(
        "And on other leagues' boards, with another ball?",
        filled(said),
        watched(uptake) if said else "",
        "candidates" if said and len(shares) < 2 else "uptake" if said else "",
        "try it on your own boards with your own ball, since no answer compares them: offglass "
        "trial NAME --player P --techniques straight,board",
    )


def _legal(beside: Beside) -> Reply:
    return Reply(
        "Is it legal?",
        tuple(f"{technique}: {rule}" for technique, rule in beside.rules),
        "",
        "",
        "ask the referees of your own competition, and write down what they say: offglass "
        "technique rule NAME TEXT",
    )


def _rebounds(misses: Answer) -> Reply:
    row = next(
        (r for r in misses.part("tests").rows() if r["what"].startswith("offensive rebounds")), None
    )
    said = notes(misses, "Offensive rebounds of live misses")
    plain = [
        f"{wording.count(r['offensive'])} of {wording.count(r['live_misses'])} "
        f"{wording.technique_words([str(r['technique'])])}"
        for r in misses.part("rebounds").rows()
        if r["live_misses"]
    ]
    why = str(row["difference_why"] or "") if row is not None else ""
    if not said and plain:
        apart = f", not compared: {why}" if why else ""
        said = [f"Offensive rebounds of live misses: {wording.listed(plain)}{apart}."]
    players = row["players"] if row is not None and row["difference"] is not None else 0
    return Reply(
        "What do we lose in rebounds?",
        filled(said),
        f"{wording.counted(players, 'player')} who missed both ways." if players else "",
        "misses" if said else "",
        ""
        if said
        else "bring in who rebounded and which shot of which trip it was, with offglass import "
        "FILE (columns rebound_by, trip_kind, trip_shot, trip_of)",
    )


def _ten_games(candidates: Answer) -> Reply:
    every = candidates.main.rows()
    rows = [row for row in every if row["points_ten_games"] is not None]
    said = [
        f"{row['player']}: "
        + wording.amount(row["points_ten_games"], row["ten_games_low"], row["ten_games_high"])
        + " points in ten games in which he shoots any, if he gains as those who changed did."
        for row in rows[:_NAMED]
    ]
    counted, to_do = "", "assume a gain: offglass ask candidates --list NAME --gain 5"
    if rows:
        own = [f"{row['player']} {wording.count(row['attempts'])}" for row in rows[:_NAMED]]
        counted, to_do = f"Attempts of their own: {wording.listed(own)}.", ""
    elif not every:
        to_do = (
            "put players on a list (offglass list NAME add PLAYER), then offglass ask candidates "
            "--list NAME"
        )
    why = sentences(candidates.headline)[0] if every and not rows else ""
    question = "candidates" if rows else ""
    topic = "What is it worth in ten games?"
    return Reply(topic, filled(said), counted, question, to_do, why)


def _when(candidates: Answer, trial: Answer, beside: Beside) -> Reply:
    said = [trial.headline] if beside.trials else []
    question = "trial" if said else "candidates"
    for row in candidates.main.rows()[:_NAMED]:
        games, practice = row["games_needed"], row["practice_needed"]
        needs = [wording.counted(games, "game")] if games is not None else []
        if practice is not None:
            needs.append(f"{wording.count(practice)} practice attempts each way")
        if needs:
            said.append(
                f"{row['player']}: {wording.listed(needs, 'or')} would show the gain predicted in "
                "80 % of cases."
            )
    first = next((r for r in candidates.main.rows() if r["games_needed_why"]), None)
    return Reply(
        "When will we know?",
        filled(said),
        "",
        question if said else "",
        ""
        if said
        else "plan a trial before its first attempt: offglass trial NAME --player P --techniques "
        "straight,board",
        why=f"{first['player']}, {first['games_needed_why']}" if first and not said else "",
    )


def _else_changed(switches: Answer) -> Reply:
    said = notes(switches, "They chose themselves")
    said += notes(switches, "A change before a season's tenth attempt")
    found = {_key(row): row for row in switches.main.rows() if _took_up(row)}
    drifts = [
        row
        for row in switches.part("drift").rows()
        if row["gain"] is not None and _key(row) in found
    ]
    drifts.sort(key=lambda row: (_named(found[_key(row)]), not found[_key(row)]["claim"]))
    for row in drifts[:_NAMED]:
        test = "; the rumour named him: not a test" if _named(found[_key(row)]) else ""
        gain = wording.per_hundred(row["gain"], row["gain_low"], row["gain_high"])
        said.append(
            f"{row['player']}, with what {wording.count(row['controls'])} who changed nothing "
            f"gained taken out too: {gain} per 100{test}."
        )
    return Reply(
        "What else changed?",
        filled(said),
        "",
        "switches" if said else "",
        "write down what else changed (coach, injury, ball, board, role): offglass note "
        "--player P TEXT",
    )


def _key(row: Row) -> tuple[Any, ...]:
    """Which change a row is about."""
    return row["player"], row["season"], row["number"]
