"""Offer the deeds of a brewer on the command line.

In:  arguments.
Out: words on the terminal, or JSON with `--json`; exit 0 good, 1 a limit's odds are below what the plan asks
     for, 2 input refused.

Idea: a command reads its text, calls one task, and prints.  Each command's module is loaded only when that
command is called, so that the first word appears at once.  `run` is the one place where an error becomes
an exit code.
"""

from __future__ import annotations

import importlib
import os
import sys

import click

from gylebook.errors import GylebookError

COMMANDS = {
    "forecast": "gylebook.faces.cli.planning:forecast",
    "solve": "gylebook.faces.cli.planning:solve",
    "limits": "gylebook.faces.cli.planning:limits",
    "liquor": "gylebook.faces.cli.liquor:liquor",
    "waters": "gylebook.faces.cli.liquor:waters",
    "ways": "gylebook.faces.cli.planning:ways",
    "reach": "gylebook.faces.cli.reach:reach",
    "adapt": "gylebook.faces.cli.adapting:adapt_command",
    "send": "gylebook.faces.cli.adapting:send",
    "receive": "gylebook.faces.cli.adapting:receive",
    "order": "gylebook.faces.cli.planning:order",
    "remedies": "gylebook.faces.cli.planning:remedies",
    "sheet": "gylebook.faces.cli.planning:sheet",
    "divide": "gylebook.faces.cli.dividing:divide",
    "becomes": "gylebook.faces.cli.dividing:becomes",
    "styles": "gylebook.faces.cli.dividing:styles",
    "larder": "gylebook.faces.cli.dividing:larder",
    "fillings": "gylebook.faces.cli.dividing:fillings",
    "beers": "gylebook.faces.cli.beers:beers",
    "gravity": "gylebook.faces.cli.beers:gravity",
    "evening": "gylebook.faces.cli.evening:evening",
    "learn": "gylebook.faces.cli.learning:learn",
    "ferment": "gylebook.faces.cli.ferments:ferment",
    "pack": "gylebook.faces.cli.packing:pack",
    "taste": "gylebook.faces.cli.tasting:taste",
    "book": "gylebook.faces.cli.books:book",
    "brew": "gylebook.faces.cli.brews:brew",
    "serve": "gylebook.faces.cli.serve:serve",
    "schema": "gylebook.faces.cli.schemas:schema",
    "demo": "gylebook.faces.cli.demo:demo",
}

ABOUT = {
    "forecast": "What comes of a plan on a brewery, given the readings so far.",
    "solve": "Work back from the aims to grain, liquor, salts, acid, hops and starters.",
    "limits": "What must not be exceeded, and how surely it is kept.",
    "liquor": "Ions, salts and acid, and the pH of mash and rinse.",
    "waters": "The water reports of a brewery, and whether their charges agree.",
    "ways": "The same wort without a rinse, with the bag dunked, or poured over.",
    "reach": "The most that a brewery makes at each gravity, and what stops it.",
    "adapt": "The same beer on another brewery, or more or less of it on the same.",
    "send": "Pack a beer into one file for another brewer.",
    "receive": "Open another brewer's parcel and adapt its beer to your brewery.",
    "order": "The running order of the day, counted from pitching.",
    "remedies": "What can still be done after the readings, best first.",
    "sheet": "The day on paper, as a PDF.",
    "divide": "The one wort from which several wanted beers can be made.",
    "becomes": "What else a wort could become, by yeast and additions alone.",
    "styles": "Published ranges of beer styles.",
    "larder": "What to buy for a plan in whole packs, and its weights to match.",
    "fillings": "Sets of portions that fill fermenters and packages.",
    "beers": "Each portion as the beer it becomes: strength, colour, bitterness, gas.",
    "gravity": "A gravity read in fermenting beer, and how far it can be trusted.",
    "evening": "An evening with water alone, and what it tells of the gear.",
    "learn": "What the brews of a book tell of the house, and how well they were foreseen.",
    "ferment": "How a portion ferments: its curve, its end, and how long to wait.",
    "pack": "A portion into bottles and kegs: sugar, pressure, and the odds that a bottle is overcome.",
    "taste": "Taste blind, and say what the answers show; notes on how a beer tastes.",
    "book": "Make a book, or see what is in it.",
    "brew": "Start a brew in a book, read into it, look at it.",
    "serve": "Open the book in a browser, on this machine or to paired phones.",
    "schema": "The JSON Schema of a file that a brewer writes.",
    "demo": "A whole invented brew day, from plan to sheet.",
}


class _Deeds(click.Group):
    """The commands by name, each loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module, _, name = COMMANDS[cmd_name].partition(":")
        command: click.Command = getattr(importlib.import_module(module), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, ABOUT[name]) for name in COMMANDS])


@click.group(cls=_Deeds, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="gylebook", prog_name="gylebook")
def main() -> None:
    """A ledger for home brewers that knows how sure it is of each figure.

    Files are TOML, quantities are text with their unit: "33 L", "8.7 gal", "149 °F", "1.052".
    """


def run(argv: list[str] | None = None) -> int:
    """Entry point; returns the exit code."""
    try:
        outcome = main(argv, prog_name="gylebook", standalone_mode=False)
    except click.exceptions.Abort:
        click.echo("gylebook: stopped", err=True)
        return 2
    except click.ClickException as problem:
        problem.show()
        return 2
    except GylebookError as problem:
        click.echo(f"gylebook: {problem}", err=True)
        return 2
    except BrokenPipeError:  # the reader of a pipe had enough; the rest goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return outcome if isinstance(outcome, int) else 0
