"""The options that every command takes, before or after its name."""

from __future__ import annotations

import functools
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.errors import OffglassError

if TYPE_CHECKING:
    from ledger.book import Book

_KEY = "offglass.settings"


@dataclass(frozen=True, slots=True)
class Settings:
    """What was said about the whole command.

    Attributes:
        ledger: the ledger file named by the user, or None.
        focus: the techniques that are studied, or None for the usual.
        quiet: whether news on stderr is left out.
    """

    ledger: str | None = None
    focus: str | None = None
    quiet: bool = False

    @property
    def path(self) -> Path:
        """The ledger file: named, else `OFFGLASS_LEDGER`, else in the user's data folder."""
        named = self.ledger or os.environ.get("OFFGLASS_LEDGER")
        if named:
            return Path(named)
        from platformdirs import user_data_path

        return user_data_path("offglass", appauthor=False) / "offglass.duckdb"

    @property
    def focus_names(self) -> tuple[str, ...] | None:
        """The techniques of `--focus`, or None where it was not given."""
        if self.focus is None:
            return None
        return tuple(part.strip() for part in self.focus.split(",") if part.strip())

    def open(self, *, create: bool = False) -> Book:
        """The ledger that is meant, as a context manager.

        Raises:
            LedgerError: if it is missing, damaged, newer or held by another process.
        """
        import ledger

        path = self.path
        if create and self.ledger is None:
            path.parent.mkdir(parents=True, exist_ok=True)
        return ledger.open(path, create=create)

    @contextmanager
    def open_for_records(self) -> Iterator[Book]:
        """The ledger, made where there is none, and taken away again where nothing came in.

        Raises:
            LedgerError: as `open`.
        """
        there = os.path.lexists(self.path)
        with self.open(create=True) as book:
            try:
                yield book
            finally:
                if not there:
                    # What went wrong before is what the person must read.
                    with suppress(OffglassError, OSError):
                        book.discard_unused()


def common_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `--ledger`, `--focus` and `--quiet`, and hand it `settings`."""

    @click.option(
        "--ledger", metavar="PATH", help="The ledger file (else OFFGLASS_LEDGER, else your own)."
    )
    @click.option(
        "--focus", metavar="NAME[,NAME]", help="Studied techniques; board-assisted unless given."
    )
    @click.option("--quiet", is_flag=True, help="No news on stderr, only what went wrong.")
    @click.pass_context
    @functools.wraps(function)
    def with_settings(ctx: click.Context, /, **options: Any) -> Any:
        said = {k: options.pop(k) for k in ("ledger", "focus", "quiet")}
        before: Settings = ctx.meta.get(_KEY, Settings())
        given = {k: v for k, v in said.items() if v}
        ctx.meta[_KEY] = settings = replace(before, **given)
        return function(settings=settings, **options)

    # The backspace that keeps lines apart is written as two letters where a text may hold none.
    with_settings.__doc__ = (function.__doc__ or "").replace("\\b\n", "\b\n")
    return with_settings
