"""Sum up a packed portion for its card and its labels, from what the book wrote down.

In:  a brew's standing, a portion's key.
Out: `LabelView`.

Idea: a label says what the record knows and nothing else: what was packed when, the alcohol with its range
as it was forecast then, and from when on custom expects the beer to be ready.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Summary
from gylebook.tasks.brews import Standing
from gylebook.tasks.cellar import refuse_unknown_portion
from gylebook.tasks.packing import packed_event

BOTTLES_DAYS, KEG_DAYS, ALIVE_DAYS = 21, 14, 90
"""Days from packing until custom expects a beer to be ready: in bottles two to three weeks at 18 to 24 °C, in
a keg two, and three months where something goes on after the yeast; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelView:
    """One packed portion; `bottles` of (kind, litres, number), `kegs` of (holds, beer in it)."""

    brew: str
    name: str
    yeast: str
    packed_at: str
    best_from: str
    abv: Summary
    volumes: float
    store_c: float
    bottles: tuple[tuple[str, float, int], ...]
    kegs: tuple[tuple[float, float], ...]
    alive: bool
    against: str

    @property
    def count(self) -> int:
        """Bottles of all kinds."""
        return sum(number for _, _, number in self.bottles)


def label_view(standing: Standing, key: str) -> LabelView:
    """What stands on the labels of a portion.  Raises Refused where it is not packed."""
    refuse_unknown_portion(standing.outlook, key)
    event = packed_event(standing.events, key)
    if event is None:
        accepted = "write down first that it is packed; a label says only what the book knows"
        raise Refused((Problem("packed", "this portion is not", accepted),))
    (portion,) = [one for one in standing.outlook.plan.portions if one.key == key]
    body = event.body
    later = portion.later is not None and portion.later.attenuation is not None
    alive = later or portion.yeast.diastatic
    bottles = tuple((str(b["kind"]), float(b["size_l"]), int(b["count"])) for b in body["bottles"])
    days = ALIVE_DAYS if alive else BOTTLES_DAYS if bottles else KEG_DAYS
    return LabelView(
        brew=standing.brew.name,
        name=portion.name,
        yeast=portion.yeast.kind,
        packed_at=event.at,
        best_from=(date.fromisoformat(event.at[:10]) + timedelta(days=days)).isoformat(),
        abv=Summary(**body["abv"]),
        volumes=float(body["co2_volumes"]),
        store_c=float(body["store_c"]),
        bottles=tuple(one for one in bottles if one[2]),
        kegs=tuple((float(k["holds_l"]), float(k["litres"])) for k in body["kegs"]),
        alive=alive,
        against=str(body["against"]),
    )
