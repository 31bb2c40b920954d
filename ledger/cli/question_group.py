"""One command a question, made from the registry: its options stand there and nowhere else."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from ledger.questions.registry import Question

Maker = Callable[["Question"], click.Command]


class QuestionGroup(click.Group):
    """The questions as commands, in the order of the registry."""

    maker: Maker

    @classmethod
    def of(cls, maker: Maker) -> type[QuestionGroup]:
        """A group whose commands are made by `maker` from each question."""
        return type("Questions", (cls,), {"maker": staticmethod(maker)})

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The names of the questions."""
        from ledger.questions.registry import QUESTIONS

        return list(QUESTIONS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of one question.

        Raises:
            UseError: if there is no such question, with near names.
        """
        from ledger.questions.registry import find

        return type(self).maker(find(cmd_name))


def question_options(question: Question) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Give a command a question's own options and hand it `options`, those that were given."""
    from ledger.cohort import FILTERS

    # `ask` has a --limit of its own, for every question; a filter of the cohort that the question
    # takes as its own option is typed once, and given to the question by the book.
    own = [o for o in question.options if o.name not in ("limit", *FILTERS)]
    meant = {f"cohort_{o.name}": o.description for o in question.options if o.name in FILTERS}

    def decorate(function: Callable[..., Any]) -> Callable[..., Any]:
        @functools.wraps(function)
        def with_options(**given: Any) -> Any:
            mine = {o.name: given.pop(f"option_{o.name}") for o in own}
            return function(options={k: v for k, v in mine.items() if v is not None}, **given)

        wrapped: Callable[..., Any] = with_options
        for option in reversed(own):
            flag = f"--{option.name.replace('_', '-')}"
            if option.type is bool:
                flag += f"/--no-{option.name.replace('_', '-')}"
            kind: Any = option.type
            if option.choices:
                kind = click.Choice(list(option.choices), case_sensitive=False)
            wrapped = click.option(
                flag,
                f"option_{option.name}",
                type=None if option.type is bool else kind,
                default=None,
                help=option.description,
            )(wrapped)
        for parameter in getattr(wrapped, "__click_params__", ()):
            parameter.help = meant.get(parameter.name, parameter.help)
        return wrapped

    return decorate
