"""`chart`: an answer as a picture in a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from ledger.cli.cohort_options import cohort_options
from ledger.cli.notices import say
from ledger.cli.question_group import QuestionGroup, question_options
from ledger.cli.settings import Settings, common_options

if TYPE_CHECKING:
    from ledger.questions.registry import Question


def _chart_command(question: Question) -> click.Command:
    @click.option(
        "-o",
        "--output",
        metavar="FILE",
        required=True,
        help="FILE.png, .svg, .pdf, .html or .json.",
    )
    @click.option("--theme", type=click.Choice(["light", "dark"]), default="light")
    @click.option("--size", type=click.Choice(["wide", "square", "tall"]), default="wide")
    @question_options(question)
    @cohort_options
    @common_options
    def command(
        settings: Settings,
        cohort: dict[str, Any],
        options: dict[str, Any],
        output: str,
        theme: str,
        size: str,
    ) -> int:
        with settings.open() as book:
            book.get_ready_to_draw()
            answer = book.ask(question.name, focus=settings.focus_names, **cohort, **options)
            written = book.export_chart(answer, output, theme=theme, size=size)
        say(f"{answer.headline}\nwritten: {written}", quiet=settings.quiet)
        return 0

    return click.command(question.name, help=question.title)(command)


@click.group(cls=QuestionGroup.of(_chart_command), subcommand_metavar="QUESTION -o FILE [OPTIONS]")
@common_options
def chart(settings: Settings) -> None:
    """Draw an answer; `offglass chart QUESTION --help` lists its options."""
