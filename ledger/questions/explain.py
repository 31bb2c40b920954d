"""How an answer comes about, in words: one page a question, for a coach and for an analyst."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ledger.questions.registry import find

COACH = "For a coach"
ANALYST = "For an analyst"
_FOLDER = Path(__file__).resolve().parent / "explain"


@cache
def explanation(question: str) -> str:
    """The page of one question, Markdown: first for a coach, then for an analyst.

    Raises:
        UseError: if there is no such question, with near names.
    """
    return (_FOLDER / f"{find(question).name}.md").read_text(encoding="utf-8")


def for_coach(question: str) -> str:
    """The part for a coach alone, without its heading.

    Raises:
        UseError: if there is no such question.
    """
    _, _, rest = explanation(question).partition(f"## {COACH}\n")
    return rest.partition(f"## {ANALYST}\n")[0].strip()
