"""What is sent to the drawing process, and what comes back: an answer out, pictures home.

The answer itself travels, so that laying out its charts does not hold up whoever asks further
questions meanwhile. It goes as a pickle, which only ever comes from the process that started the
drawing one; pictures come back as bytes behind a line of JSON, for what draws strangers' names is
not trusted with more.
"""

from __future__ import annotations

import base64
import json
import pickle
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.charts.registry import drawable
from ledger.charts.theme import size_of, theme_of
from ledger.questions.answer import Answer


@dataclass(frozen=True, slots=True)
class Errand:
    """Pictures of one answer in one look.

    Attributes:
        answer: complete.
        kinds: of files: png, svg, pdf, html, json.
        theme: light or dark.
        size: its name.
    """

    answer: Answer
    kinds: tuple[str, ...]
    theme: str
    size: str

    def request(self) -> dict[str, Any]:
        """The errand in plain JSON types.

        Raises:
            UseError: if the question has no chart, or theme or size is unknown.
        """
        theme_of(self.theme), size_of(self.size)
        packed = base64.b64encode(pickle.dumps(drawable(self.answer))).decode()
        return {
            "answer": packed,
            "kinds": list(self.kinds),
            "theme": self.theme,
            "size": self.size,
        }

    @classmethod
    def of(cls, request: dict[str, Any]) -> Errand:
        """The errand that a request holds; for the drawing process."""
        answer: Answer = pickle.loads(base64.b64decode(request["answer"]))
        return cls(answer, tuple(request["kinds"]), request["theme"], request["size"])


@dataclass(frozen=True, slots=True)
class Pictures:
    """What an errand brings home.

    Attributes:
        files: the bytes of each kind, in the order in which they were asked for.
        caption: the sentences that belong under the picture.
        blank: whether it only says why there is nothing to draw.
    """

    files: tuple[bytes, ...]
    caption: tuple[str, ...]
    blank: bool

    def packed(self) -> bytes:
        """All of it in one piece."""
        head = {
            "sizes": [len(file) for file in self.files],
            "caption": self.caption,
            "blank": self.blank,
        }
        return b"".join([json.dumps(head).encode(), b"\n", *self.files])

    @classmethod
    def of(cls, packed: bytes) -> Pictures:
        """The pictures of such a piece."""
        line, _, rest = packed.partition(b"\n")
        head = json.loads(line)
        return cls(tuple(_parted(rest, head["sizes"])), tuple(head["caption"]), head["blank"])


def _parted(rest: bytes, sizes: Sequence[int]) -> list[bytes]:
    parts, at = [], 0
    for size in sizes:
        parts.append(rest[at : at + size])
        at += size
    return parts
