"""The smallest program of the same library: one line that counts keys, and nothing behind it."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.widgets import Static


class BareProgram(App[None]):
    """What a key costs where nothing is asked, looked up or drawn but one line."""

    def __init__(self) -> None:
        super().__init__()
        self._keys = 0

    def compose(self) -> ComposeResult:
        yield Static("0 keys", markup=False)

    def on_key(self) -> None:
        self._keys += 1
        self.query_one(Static).update(f"{self._keys} keys")


if __name__ == "__main__":
    BareProgram().run()
