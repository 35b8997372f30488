"""Say what to buy for a plan, and bring its weights to what packs give.

In:  an `Outlook`, a larder file.
Out: `LarderView`: the shopping list, what moved, the forecast before and after, and the plan as a file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from gylebook.brewery.larder import Larder
from gylebook.decide.packs import GRIST_MOVES, Moved, Purchase, buy
from gylebook.exchange.larder_file import read_larder
from gylebook.exchange.plan_writer import write_plan
from gylebook.figures.draws import Summary, summarise
from gylebook.gyle.forecast import Model
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.solved import weighable
from gylebook.tasks.texts import text_of

__all__ = ["LarderView", "Moved", "Purchase", "load_larder", "shopping", "shopping_of_text"]

TOLD = ("og", "ibu", "colour_srm", "fermenters.volume_l")


@dataclass(frozen=True, slots=True, kw_only=True)
class LarderView:
    """A shopping list; `missing` are things no pack of the larder holds, with the mass that is wanted. [kg]

    `before` and `after` are the wort's figures as planned and with the weights moved.
    """

    currency: str
    purchases: tuple[Purchase, ...]
    missing: tuple[tuple[str, float | None], ...]
    cost: float
    moved: tuple[Moved, ...]
    before: Mapping[str, Summary]
    after: Mapping[str, Summary]
    plan: str


def load_larder(path: str | Path) -> Larder:
    """The larder in a file."""
    return read_larder(text_of(path), where=str(path))


def shopping_of_text(outlook: Outlook, larder: str) -> LarderView:
    """The same for a larder's text."""
    return shopping(outlook, read_larder(larder, where="larder"))


def shopping(outlook: Outlook, larder: Larder, *, grist_moves: float = GRIST_MOVES) -> LarderView:
    """What to buy, with the plan forecast again on the weights that packs give.

    Raises NotConverged where the packs that may be bought do not hold enough.
    """
    bought = buy(outlook.plan, larder, grist_moves=grist_moves)
    after = Model(bought.plan, outlook.brewery).forecast(outlook.latents)
    return LarderView(
        currency=larder.currency,
        purchases=bought.purchases,
        missing=bought.missing,
        cost=bought.cost,
        moved=bought.moved,
        before={name: outlook.numbers[name] for name in TOLD},
        after={name: summarise(after[name]) for name in TOLD},
        plan=write_plan(weighable(bought.plan)),
    )
