"""Open a book in the browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from gylebook.faces.cli.options import book_option

if TYPE_CHECKING:
    from gylebook.faces.web.desk import Desk


@click.command()
@book_option
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8430, show_default=True, help="0 takes any free one."
)
@click.option("--lan", is_flag=True, help="Let paired phones on the same network in, too.")
@click.option("--name", "names", multiple=True, help="Another name that this machine is asked for under.")
@click.option("--new", "fresh", is_flag=True, help="Make the book first, where there is none.")
def serve(location: str, port: int, lan: bool, names: tuple[str, ...], fresh: bool) -> None:
    """Open the book in the browser of this machine; Ctrl+C stops it.

    Nothing listens beyond this machine unless --lan is given. Then a phone is paired once, by a code.
    """
    from gylebook.faces.web.serving import serve as open_up  # loads what no other command needs
    from gylebook.tasks.brews import make_book_if_none

    if fresh:
        make_book_if_none(location)
    open_up(location, port, lan=lan, names=names, ready=_say_where)


def _say_where(desk: Desk, address: str) -> None:
    click.echo(f"The book is open at {address}")
    if desk.pairing is None:
        click.echo("Ctrl+C closes it.")
        return
    from gylebook.faces.web.pages.pairing import pairing_addresses
    from gylebook.faces.web.terminal_code import code_for_terminal

    click.echo(f"A phone on this network is paired by the code {desk.pairing.spaced()} at")
    for scanned in pairing_addresses(desk):
        click.echo(f"  {scanned}")
        click.echo(code_for_terminal(scanned))
    click.echo("The connection is not encrypted: use it on a network that you trust. Ctrl+C closes the book.")
