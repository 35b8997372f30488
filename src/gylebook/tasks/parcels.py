"""Send a beer to another brewer, and receive one.

In:  an outlook and a chosen name; or the text of a parcel.
Out: the text to send; `Received`, ready to be adapted.

Idea: what goes out is the plan, the beer's own numbers and what was forecast, and no brewery, path, host or
hour: only what the sender chose to say of themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from gylebook.errors import Problem, Refused
from gylebook.exchange.parcel import Parcel, read_parcel, write_parcel
from gylebook.tasks.adapt import Brewed, brewed_of
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.texts import text_of

__all__ = ["Received", "load_parcel", "packed", "unpacked"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """A beer from another brewer; `sender` is empty where none was told."""

    before: Brewed
    sender: str
    note: str
    made_by: str


def packed(outlook: Outlook, *, sender: str = "", note: str = "") -> str:
    """The text of a parcel with this beer.  Raises Refused once something was read on its day."""
    if outlook.readings:
        raise Refused((Problem("readings", "the plan was read on already", "send it as it was planned"),))
    before = brewed_of(outlook)
    return write_parcel(
        Parcel(
            asked=before.asked,
            solved=before.solved,
            beer=before.beer,
            numbers=before.numbers,
            sender=sender.strip(),
            note=note.strip(),
            made_by=version("gylebook"),
        )
    )


def unpacked(text: str | bytes, *, where: str = "parcel") -> Received:
    """What a parcel holds.  Raises Refused where it is damaged, newer, or none at all."""
    parcel = read_parcel(text, where=where)
    return Received(
        before=Brewed(
            asked=parcel.asked,
            solved=parcel.solved,
            beer=parcel.beer,
            numbers=parcel.numbers,
            whose=parcel.sender,
        ),
        sender=parcel.sender,
        note=parcel.note,
        made_by=parcel.made_by,
    )


def load_parcel(path: str | Path) -> Received:
    """The same of a file."""
    return unpacked(text_of(path), where=Path(path).name)
