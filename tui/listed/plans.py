"""What raised the question, trials in practice, and who agreed to their records."""

from __future__ import annotations

from ledger.questions.wording import counted
from tui.listed.cells import LONG, by_words, column, consent_of, day_words, detail_lines, state_of
from tui.listed.held import Held, Key, Part
from tui.widgets.columns import EARLY


def rumours(held: Held, key: Key) -> Part:
    """What raised the question."""
    rows = tuple(
        {
            "title": "The rumour", "text": r.text, "season": r.season, "league": r.league or "",
            "player": r.player or "", "seen": day_words(r.seen), "where": r.place or "",
            "source": r.source, "who": r.who, "when": day_words(r.at_time),
            "details": detail_lines(
                ("", r.text), ("Season", r.season), ("League", r.league), ("Player", r.player),
                ("Seen", r.seen), ("Where", r.place), ("Written down", by_words(r.who, r.at_time)),
                ("Source", r.source),
            ),
        }
        for r in held.rumours
    )  # fmt: skip
    said = "No rumour is written down: what raised the question?"
    if rows:
        said = "What raised the question; it is never used as its own proof."
    helps = f"{key('add')} stores one, {key('undo')} takes back the last thing stored."
    columns = (
        column("text", "rumour", least=12, most=LONG),
        column("season", "season", least=7),
        column("player", "player", least=8, drop=1),
        column("league", "league", drop=EARLY + 2),
        column("seen", "seen", least=10, drop=EARLY + 1),
        column("where", "where", drop=4),
    )
    return Part("rumour", said, helps, rows, columns, "rumour")


def trials(held: Held, key: Key) -> Part:
    """Trials in practice."""
    rows = tuple(
        {
            "title": t.name, "trial": t.name, "player": t.player, "league": t.league,
            "what": f"{t.name_b} beside {t.name_a}",
            "plan": f"{t.sessions} of {t.per_session} each way", "when": day_words(t.at_time),
            "who": t.who, "consent": consent_of(held, t.player),
            "details": detail_lines(
                ("Player", t.player), ("League", t.league), ("He uses", t.name_a),
                ("He tries", t.name_b), ("Sessions", t.sessions),
                ("Attempts with each in a session", t.per_session),
                ("Sessions that only practise", t.practice_only), ("Seed", t.seed),
                ("Planned", by_words(t.who, t.at_time)), ("Consent", consent_of(held, t.player)),
            ),
        }
        for t in held.trials
    )  # fmt: skip
    said = "No trial is planned: a technique tried in practice, beside the usual one."
    if rows:
        said = f"{counted(len(rows), 'trial')} in practice, planned before the first attempt."
    helps = (
        f"enter asks how it is going, {key('add')} plans one; records of practice are stored "
        f"only with consent ({key('consent')})."
    )
    columns = (
        column("trial", "trial", least=8),
        column("player", "player", least=8),
        column("what", "technique", least=8, drop=2),
        column("plan", "sessions", least=8, drop=1),
        column("consent", "consent", least=10),
        column("when", "planned", least=10, drop=EARLY + 1),
    )
    return Part("trials", said, helps, rows, columns, "trial")


def consents(held: Held, key: Key) -> Part:
    """Who agreed to records of practice."""
    rows = tuple(
        {
            "title": c.player, "player": c.player, "league": c.league, "given": c.given_by,
            "from": day_words(c.given_on), "until": day_words(c.until) or "no end",
            "purpose": c.purpose,
            "holds": state_of(c, held.today), "source": c.source, "who": c.who,
            "when": day_words(c.at_time),
            "details": detail_lines(
                ("League", c.league), ("Given by", c.given_by), ("From", c.given_on),
                ("Until", c.until or "no end"), ("What for", c.purpose),
                ("Today", state_of(c, held.today)), ("Written down", by_words(c.who, c.at_time)),
                ("Source", c.source),
            ),
        }
        for c in held.consents
    )  # fmt: skip
    said = "Nobody has agreed to records of practice: none is stored."
    if rows:
        holds = sum(row["holds"] == "holds" for row in rows)
        today = f"{holds} {'holds' if holds == 1 else 'hold'} today"
        said = f"{counted(len(rows), 'consent')} to records of practice; {today}."
    helps = (
        f"{key('add')} writes one down. Without consent no record of practice on that day is "
        "stored; for a minor a guardian agrees."
    )
    columns = (
        column("player", "player", least=8),
        column("given", "given by", least=6, drop=2),
        column("from", "from", least=10),
        column("until", "until", least=10),
        column("holds", "now", least=5, drop=1),
        column("purpose", "what for", least=8, most=LONG, drop=3),
        column("league", "league", drop=EARLY + 2),
    )
    return Part("consents", said, helps, rows, columns, "consent")
