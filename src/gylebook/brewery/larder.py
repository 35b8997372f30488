"""Describe the store cupboard and the shop: what is at hand, in what packs more can be bought, at what price.

In:  a larder file read at the border.
Out: `Pack`s, frozen.

Idea: what lies open is a mass, what is bought comes whole.  Nothing here computes.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """One way to buy something, by the name that plans use.

    `size_kg` is of one pack, None for yeast, which is counted; `at_hand` is what is there already, kilograms
    or packs, and `most` how many packs may be bought.
    """

    of: str
    size_kg: float | None
    price: float
    at_hand: float = 0.0
    most: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Larder:
    """Everything that is at hand or may be bought; prices are in one currency, which is only shown."""

    packs: tuple[Pack, ...]
    currency: str = ""
