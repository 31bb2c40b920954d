"""The table of commands: each is imported when it is called, its one line stands here."""

from __future__ import annotations

import importlib

import click

from ledger import __version__
from ledger.cli.settings import Settings, common_options

# name -> (module under ledger.cli, function, one line for --help)
COMMANDS: dict[str, tuple[str, str, str]] = {
    "demo": (
        "demo",
        "demo",
        "Build the invented demo, ask every question, draw the charts.",
    ),
    "new": ("keeping", "new", "Make an empty ledger."),
    "import": (
        "importing",
        "import_",
        "Bring files in: attempts, box, totals, tags, players, lists.",
    ),
    "profile": (
        "profiling",
        "profile",
        "How the files of a league map to fields: new, try, save, list.",
    ),
    "add": ("entering", "add", "Add an attempt, a trip or a tag by hand."),
    "ask": ("asking", "ask", "Ask a question: ranking, adopters, uptake, attempts, sources."),
    "explain": ("asking", "explain", "Say how an answer comes about, for a coach and an analyst."),
    "chart": ("charting", "chart", "Draw an answer as a picture for a slide."),
    "brief": ("telling", "brief", "Write the whole story as one page for those not in the room."),
    "deck": ("telling", "deck", "Write slides for a staff: one message a slide."),
    "sources": ("records", "sources", "List what came in, or show one source whole."),
    "undo": ("records", "undo", "Take a source back, or bring it in again."),
    "correct": ("records", "correct", "Mend a record that is wrong."),
    "settle": ("entering", "settle", "Settle the technique of a disputed attempt."),
    "journal": ("records", "journal", "List who changed what."),
    "same": ("joining", "same", "Join names of one player, team or league; list what may be one."),
    "word": ("joining", "word", "Say for good what a word of files means."),
    "technique": ("registers", "technique", "Add a technique to the ledger."),
    "lot": ("registers", "lot", "Draw and save a random list of players to watch."),
    "rumour": ("registers", "rumour", "Store what raised the question."),
    "list": ("registers", "shortlist", "Show a list; add players to a shortlist, or drop them."),
    "trial": ("trialling", "trial", "Plan a trial of a technique in practice, or show its plan."),
    "consent": ("trialling", "consent", "Write down who agreed to records of practice."),
    "note": ("noting", "note", "Write down what a number cannot say."),
    "decide": ("noting", "decide", "Write down what was decided about a player."),
    "export": ("keeping", "export", "Write the whole ledger as an open Data Package."),
    "load": ("keeping", "load", "Make a ledger from an exported Data Package."),
    "merge": ("together", "merge", "Bring a colleague's ledger in."),
    "check": ("keeping", "check", "Say whether the ledger is whole."),
    "backup": ("keeping", "backup", "Write a safe copy of the ledger."),
}


class Commands(click.Group):
    """A group that imports a command only when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of that name, imported now."""
        if cmd_name not in COMMANDS:
            return None
        module, function, _ = COMMANDS[cmd_name]
        found = getattr(importlib.import_module(f"ledger.cli.{module}"), function)
        assert isinstance(found, click.Command)
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with near names for one that does not exist."""
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            import difflib

            near = difflib.get_close_matches(name, COMMANDS, 3)
            hint = f"did you mean {', '.join(near)}?" if near else "see `offglass --help`"
            raise click.UsageError(f"no command is called {name!r}: {hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The commands with their one line each, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, _, line) in COMMANDS.items()])


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="offglass", message="%(prog)s %(version)s")
@common_options
@click.pass_context
def offglass(ctx: click.Context, settings: Settings) -> int | None:
    """A ledger of shot attempts and their technique.

    Who shoots off the backboard, since when, how well, and with how much doubt. Without a command
    it opens the terminal program.
    """
    if ctx.invoked_subcommand is not None:
        return None
    from ledger.cli.terminal import open_terminal

    return open_terminal(settings)
