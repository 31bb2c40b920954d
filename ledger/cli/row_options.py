"""Options of commands that bring rows in: what columns and words mean, and who watched."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

_OPTIONS = (
    click.option(
        "--map", "maps", multiple=True, metavar="COLUMN=FIELD", help="A column's meaning."
    ),
    click.option(
        "--set", "sets", multiple=True, metavar="FIELD=VALUE", help="A field for all rows."
    ),
    click.option(
        "--word", "words", multiple=True, metavar="FIELD:TEXT=VALUE", help="A word's meaning."
    ),
    click.option(
        "--dates", metavar="dmy|mdy|ymd|FORMAT", help="The order of a date, or its format."
    ),
    click.option("--drawn", is_flag=True, help="The tagged players were chosen by lot."),
    click.option("--tagger", metavar="NAME", help="Who watched, where the rows do not say."),
    click.option("--json", "as_json", is_flag=True, help="The report as JSON."),
)


def row_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `maps, sets, words, dates, drawn, tagger` and `as_json`."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function
