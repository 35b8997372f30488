"""Read a larder file: what is in the store cupboard, and in what packs more can be bought.

In:  the text or bytes of a TOML larder, and the name to call the file by.
Out: `Larder`; `larder_schema`, the JSON Schema of such a file.

Idea: one [[packs]] for each way to buy a thing, by the name that plans use; what has no size, such as yeast,
is counted.
"""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from gylebook.brewery.larder import Larder, Pack
from gylebook.errors import Refused
from gylebook.exchange.quantities import KILOGRAMS, Count, Name, Quantity, Table, refuse
from gylebook.exchange.refusals import judge
from gylebook.exchange.schema import schema_of
from gylebook.exchange.toml_text import parse
from gylebook.figures.units import Dimension

Price = Annotated[float, Count(0, 100_000, "9.80")]
Packs = Annotated[float, Count(0, 1000, "1", "packs?")]
Size = Annotated[float, Quantity(Dimension.MASS, 0.001, 1000, "kg", "5 kg")]
AtHand = Annotated[float, KILOGRAMS.like("1.2 kg")]


class PackTable(Table):
    """One way to buy something, and what of it is there already."""

    of: Name = Field(description="name of the grain, hop, sugar or yeast as plans write it")
    size: Size | None = Field(
        default=None, description="mass of one pack; left out for yeast, as that is counted"
    )
    price: Price = Field(description="price of one pack")
    at_hand: AtHand = Field(default=0.0, description="what lies open in the cupboard")
    packs_at_hand: Packs = Field(default=0.0, description="whole packs in the cupboard")
    most: Packs | None = Field(default=None, description="packs that may be bought; any number if left out")

    @model_validator(mode="after")
    def _weighed_or_counted(self) -> Self:
        if self.size is None and self.at_hand:
            raise refuse("a mass of what is counted", "give size, or packs_at_hand.", "at_hand")
        return self


class LarderTable(Table):
    """The store cupboard and the shop."""

    currency: Name | None = Field(default=None, description="what prices are in, only shown")
    packs: list[PackTable] = Field(
        min_length=1, max_length=500, description="ways to buy things, one [[packs]] for each"
    )


def read_larder(text: str | bytes, *, where: str) -> Larder:
    """The larder that a TOML text states.

    Raises
    ------
    Refused
        With every fault found: file, line and key, the value as understood, what would be accepted.
    """
    parsed = parse(text, where=where)
    table, problems = judge(LarderTable, parsed)
    if table is None or problems:
        raise Refused(problems)
    return Larder(packs=tuple(_pack(one) for one in table.packs), currency=table.currency or "")


def larder_schema() -> dict[str, Any]:
    """JSON Schema of a larder file, with a description of each key."""
    return schema_of(LarderTable, "gylebook larder")


def _pack(one: PackTable) -> Pack:
    return Pack(
        of=one.of,
        size_kg=one.size,
        price=one.price,
        at_hand=one.at_hand + one.packs_at_hand * (1.0 if one.size is None else one.size),
        most=None if one.most is None else int(one.most),
    )
