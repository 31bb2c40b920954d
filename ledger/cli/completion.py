"""Names from the ledger for the shell's completion; silent where there is no ledger to ask."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click
from click.shell_completion import CompletionItem

from ledger.cli.settings import Settings
from ledger.errors import OffglassError

Completer = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]


def complete_from_ledger(field: str) -> Completer:
    """A completer for the names that the ledger holds for one filter."""

    def complete(ctx: click.Context, param: click.Parameter, begun: str) -> list[CompletionItem]:  # noqa: ARG001
        try:
            with Settings(ledger=_named(ctx)).open() as book:
                names = book.choices(field)
        except (OffglassError, OSError):
            return []
        start = begun.casefold()
        return [CompletionItem(name) for name in names if name.casefold().startswith(start)]

    return complete


def _named(ctx: click.Context | None) -> str | None:
    while ctx is not None:
        named: Any = ctx.params.get("ledger")
        if named:
            return str(named)
        ctx = ctx.parent
    return None
