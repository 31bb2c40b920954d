"""`ask` and `explain`: answers on stdout, as a table, JSON or CSV."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.cohort_options import cohort_options
from ledger.cli.progress import shown
from ledger.cli.question_group import QuestionGroup, question_options
from ledger.cli.settings import Settings, common_options

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.registry import Question

EMPTY = 1


def _ask_command(question: Question) -> click.Command:
    @click.option("--json", "as_json", is_flag=True, help="The whole answer as JSON.")
    @click.option("--csv", "as_csv", is_flag=True, help="The rows as CSV.")
    @click.option("--plain", is_flag=True, help="A table in plain letters, nothing drawn.")
    @click.option(
        "--raw", is_flag=True, help="With --csv: text as stored, not made safe for spreadsheets."
    )
    @click.option("--part", metavar="NAME", default="", help="One of the answer's further frames.")
    @click.option("--limit", type=click.IntRange(min=0), help="Show only the first rows.")
    @question_options(question)
    @cohort_options
    @common_options
    def command(
        settings: Settings,
        cohort: dict[str, Any],
        options: dict[str, Any],
        as_json: bool,
        as_csv: bool,
        plain: bool,
        raw: bool,
        part: str,
        limit: int | None,
    ) -> int:
        if as_json and as_csv:
            raise click.UsageError("--json and --csv exclude each other")
        if limit is not None and any(option.name == "limit" for option in question.options):
            options = {**options, "limit": limit}
        with settings.open() as book:
            with shown(quiet=settings.quiet or not question.slow) as progress:
                answer = book.ask(
                    question.name,
                    focus=settings.focus_names,
                    progress=progress,
                    **cohort,
                    **options,
                )
            answer.part(part)
            if as_json:
                text = _json(answer, part, limit)
            elif as_csv:
                text = _first(answer, part, limit).csv(raw=raw)
            else:
                from ledger.cli.table import page

                text = page(answer, part=part, limit=limit, plain=plain)
        sys.stdout.write(text if text.endswith("\n") else text + "\n")
        return 0

    return click.command(question.name, help=question.title)(command)


def _first(answer: Answer, part: str, limit: int | None) -> Any:
    from ledger.questions.answer import Part

    found = answer.part(part)
    return found if limit is None else Part(found.columns, found.frame.head(limit))


def _json(answer: Answer, part: str, limit: int | None) -> str:
    from dataclasses import replace

    if part and part != "rows":
        import json

        body = _first(answer, part, limit).as_dict()
        return json.dumps(body, ensure_ascii=False, allow_nan=False, indent=1)
    return replace(answer, main=_first(answer, "", limit)).json()


@click.group(cls=QuestionGroup.of(_ask_command), subcommand_metavar="QUESTION [OPTIONS]")
@common_options
def ask(settings: Settings) -> None:
    """Ask a question of the ledger; `offglass ask QUESTION --help` lists its options."""


@click.command()
@click.argument("question")
@common_options
def explain(settings: Settings, question: str) -> int:  # noqa: ARG001
    """Say how an answer comes about, first for a coach, then for an analyst."""
    from ledger.questions.explain import explanation

    sys.stdout.write(explanation(question).rstrip() + "\n")
    return 0
