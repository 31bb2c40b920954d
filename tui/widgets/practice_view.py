"""A practice session as it is shot: what is next, the block's shots, how far the session is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.questions.wording import counted, technique_words
from ledger.safe_text import cut
from tui.widgets.canvas import Canvas, CanvasView
from tui.widgets.lines import wrapped

if TYPE_CHECKING:
    from ledger.questions.practising import Practice

# Made, missed, still to be shot: told apart by their signs.
_MADE, _MISSED, _LEFT = "●", "○", "·"


def next_words(practice: Practice) -> str:
    """What the shooter does now, as it is called to him.

    A block that is begun is counted down.
    """
    now = practice.next
    if now is None:
        if not practice.blocks:
            return "the plan has no further session"
        return f"session {practice.number} is whole: nothing is next"
    left = practice.blocks[now.block].attempts - now.done
    more = "more " if now.done else ""
    return f"next: {left} {more}{technique_words([practice.technique or ''])}"


def end_words(opens: str) -> str:
    """What can be done where nothing is to be shot; that nothing is, the picture says.

    Args:
        opens: the key that opens another.
    """
    return f"enter shows how the trial goes, {opens} opens another day's"


def draw(practice: Practice, shots: Sequence[tuple[str, bool]], cells: int, lines: int) -> Canvas:
    """The session.

    Args:
        practice: as it stands.
        shots: technique and result of each shot of it, in their order.
        cells: the width.
        lines: the height.
    """
    canvas = Canvas(cells, lines)
    room = max(10, cells - 2)
    canvas.put(1, 0, cut(next_words(practice), room), "strong")
    now = practice.next
    if now is not None:
        canvas.put(1, 1, cut(_block(practice, shots), room), "text")
    below = [_session(practice), *_techniques(practice)]
    if now is not None:
        coming = [_called(practice, at) for at in range(now.block + 1, len(practice.blocks))]
        below.append(f"then: {', '.join(coming)}" if coming else "after that the session is whole")
    said = [line for words in below for line in wrapped(words, room, 2)]
    first = 1 if now is None else 2
    first += int(lines > first + len(said))
    left = lines - first
    if 0 < left < len(said):
        said = [*said[: left - 1], f"{cut(said[left - 1], room - 2)} …"]
    for at, line in enumerate(said, first):
        canvas.put(1, at, line, "text")
    if left <= 0:
        canvas.put(cells - 3, lines - 1, " …", "text")
    return canvas


def _block(practice: Practice, shots: Sequence[tuple[str, bool]]) -> str:
    """The shots of the block in hand, and how far it is."""
    now = practice.next
    assert now is not None
    size = practice.blocks[now.block].attempts
    same = [made for technique, made in shots if technique == practice.technique]
    block = same[len(same) - now.done :] if now.done else []
    signs = "".join(_MADE if made else _MISSED for made in block).ljust(size, _LEFT)
    return f"{signs}  block {now.block + 1} of {len(practice.blocks)}, {now.done} of {size} shot"


def _session(practice: Practice) -> str:
    trial = practice.trial
    aside = ", practice only" if practice.number <= trial.practice_only else ""
    shot = sum(practice.shot)
    return (
        f"session {practice.number} of {trial.sessions}{aside}: "
        f"{shot} of {counted(practice.of, 'shot')}"
    )


def _techniques(practice: Practice) -> list[str]:
    return [
        f"{technique_words([name])}: {made} of {shot} made"
        for name, made, shot in zip(
            practice.trial.techniques, practice.made, practice.shot, strict=True
        )
    ]


def _called(practice: Practice, at: int) -> str:
    block = practice.blocks[at]
    return f"{block.attempts} {technique_words([practice.trial.techniques[block.technique]])}"


class PracticeView(CanvasView):
    """The picture of a session."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._practice: Practice | None = None
        self._shots: Sequence[tuple[str, bool]] = ()

    def say(self, practice: Practice, shots: Sequence[tuple[str, bool]]) -> None:
        """Show how it stands now."""
        self._practice, self._shots = practice, shots
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        if self._practice is None:
            return Canvas(cells, lines)
        return draw(self._practice, self._shots, cells, lines)
