"""Pieces of work for the ledger, and the messages that tell what came of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from time import monotonic
from typing import TYPE_CHECKING, Any

from textual.message import Message
from textual.message_pump import MessagePump

from ledger.errors import Stopped

if TYPE_CHECKING:
    from tui.session import BookLike

_WORTH_A_WORD_S = 0.5


@dataclass(eq=False, slots=True)
class Job:
    """One piece of work for the ledger.

    Attributes:
        kind: what it is: ask, contents, choices, preview, check, store, mend, undo, export.
        words: what the screen says while it runs.
        owner: who gets the message.
        call: the work itself.
        behind: whether it only fetches ahead.
        keeps: whether it stores what was typed: it is done even where the program is being left.
        about: what it is about, for the owner.
        stopped: whether the user has stopped it.
        since: when it began to run, or None while it waits.
        part: how far it is, 0..1, where it says so.
        put_off: whether it was interrupted for something that goes first, to be done anew.
    """

    kind: str
    words: str
    owner: MessagePump
    call: Callable[[BookLike], Any]
    behind: bool = False
    keeps: bool = False
    about: Mapping[str, Any] = field(default_factory=dict)
    stopped: bool = False
    since: float | None = None
    part: float = 0.0
    put_off: bool = False

    @property
    def can_wait(self) -> bool:
        """Whether it only reads, so that it may be interrupted and done again."""
        return not self.keeps and (self.behind or self.kind == "ask")

    def gives_way_to(self, other: Job) -> bool:
        """Whether it is done again after the other one, where that comes while it runs.

        Nobody waits for what is only fetched ahead, and what was typed waits for no question.
        """
        return self.can_wait and (other.keeps or (self.behind and not other.behind))

    def hear(self, part: float) -> None:
        """Remember how far the work is.

        Raises:
            Stopped: if it is no longer wanted, so that it ends here.
        """
        if self.stopped or self.put_off:
            raise Stopped("stopped")
        self.part = part

    def state(self) -> str:
        """What it does, how far it is and for how long, once that is worth a word."""
        seconds = 0.0 if self.since is None else monotonic() - self.since
        if seconds < _WORTH_A_WORD_S:
            return ""
        far = f"{100 * self.part:.0f} %, " if self.part else ""
        return f"{self.words}: {far}{seconds:.0f} s; esc stops it"


def fault_words(error: Exception) -> str:
    """A fault of ours in one line: it must not take the screens down."""
    return f"a fault of the program ({type(error).__name__}: {error}); nothing was changed"


class JobDone(Message, bubble=False):
    """A job has its result."""

    def __init__(self, job: Job, result: Any) -> None:
        super().__init__()
        self.job = job
        self.result = result


class JobFailed(Message, bubble=False):
    """A job came to nothing; `line` says why.

    `busy`: another process holds the ledger. `refused`: what was asked cannot be asked so.
    """

    def __init__(self, job: Job, line: str, *, busy: bool = False, refused: bool = False) -> None:
        super().__init__()
        self.job = job
        self.line = line
        self.busy = busy
        self.refused = refused
