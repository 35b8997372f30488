"""Print columns on a terminal.

In:  a heading, column titles, rows of text.  Out: text; rich is loaded only here.
"""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Sequence

import click

WIDEST = 100  # a sentence longer than this is hard to read


def print_table(heading: str, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print rows under their titles; the first column reads from the left, numbers from the right."""
    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    if not rows:
        return
    table = Table(
        title=heading or None,
        title_justify="left",
        title_style="bold",
        box=SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
        show_edge=False,
    )
    for number, title in enumerate(columns):
        right = number > 0 and all(
            row[number][:1].isdigit() or row[number][:1] in "−+" for row in rows if row[number]
        )
        table.add_column(title, justify="right" if right else "left", overflow="fold")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    console = Console(highlight=False, soft_wrap=False)
    console.print(table)


def print_heading(text: str) -> None:
    """A line that opens a part of the answer."""
    click.echo()
    click.secho(text, bold=True)


def print_sentence(text: str, indent: int = 2) -> None:
    """A sentence, wrapped to the terminal, its further lines set in as the first."""
    width = min(shutil.get_terminal_size().columns, WIDEST)
    edge = " " * indent
    click.echo(textwrap.fill(text, width=width, initial_indent=edge, subsequent_indent=edge))
