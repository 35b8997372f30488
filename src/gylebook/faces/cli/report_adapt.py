"""Print a beer on two breweries side by side, and what came in a parcel.

In:  `AdaptView`, `Received`.  Out: text on the terminal.
"""

from __future__ import annotations

import click

from gylebook.faces import adapt_words
from gylebook.faces.adapt_words import finding_sentence
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.words import Units
from gylebook.tasks.adapt_view import AdaptView
from gylebook.tasks.parcels import Received

__all__ = ["finding_sentence", "show_adapted", "show_received"]


def show_received(received: Received, units: Units) -> None:
    """Whose it is, what they forecast, and what the seal is worth."""
    for sentence in adapt_words.received_sentences(received, units):
        print_sentence(sentence, indent=0)
    click.echo()


def show_adapted(view: AdaptView, units: Units) -> None:
    """Amounts, then the beer, then what cannot be matched."""
    before, after = adapt_words.sides(view, units)
    click.secho(view.name, bold=True)
    print_sentence(adapt_words.sizes(view, units))
    print_sentence(adapt_words.kept_sentence(view, units))
    click.echo()
    rows: list[tuple[str, ...]] = []
    for heading, lines in adapt_words.amount_lines(view, units):
        rows.append((heading, "", "", ""))
        rows += [(f"  {line.what}", _bare(line.before), _bare(line.after), line.note) for line in lines]
    print_table("", ("To weigh and measure out", before, after, "in proportion"), rows)
    click.echo()
    rows = []
    for heading, lines in adapt_words.number_lines(view, units):
        rows.append((heading, "", ""))
        rows += [(f"  {line.what}", line.before, line.after) for line in lines]
    print_table("", ("The beer (90 of 100 futures)", before, after), rows)
    print_heading("What cannot be matched")
    for finding in view.findings:
        print_sentence(finding_sentence(finding, units))
    if not view.findings:
        click.echo(f"  {adapt_words.ALL_MATCHED}")


def _bare(told: str) -> str:
    """A cell of amounts; what is none is left empty, so that a column of numbers stays one."""
    return "" if told == adapt_words.NONE else told
