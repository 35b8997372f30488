"""Run a gyle of every gravity at once: amounts for each gravity, the same draws in each.

In:  a plan, a brewery, a way, gravities, latents; logs of grain, mash and rinse liquor for each gravity.
Out: `Shown`: how far each gravity's strength and split are off, the margins kept with the asked odds, and
     the volume reached with them.

Idea: the same `gyle` functions, handed amounts with one value for each row.  A way that no single plan could
say (two mashes into one boil, wort held back and fed in) is put together from their parts here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from gylebook.brewery.plan import Plan, ProcessKind
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.figures.figure import FigureDraws
from gylebook.gyle.course import Course
from gylebook.gyle.house import figures_of
from gylebook.gyle.kettle import KettleCourse, run_kettle
from gylebook.gyle.limits import HEAD_ROOM, LEAST_LIQUOR, Limit, limits
from gylebook.gyle.mash import MashCourse, run_mash
from gylebook.gyle.wort import Measured

Way = Literal["full volume", "dunk rinse", "poured rinse", "fly rinse", "two mashes", "fed during the boil"]
LEAST_RINSE = 0.08  # of the mash liquor; less is not worth a second vessel
NO_RINSE = 0.01  # of the mash liquor: where the mash takes all the rest, there is none
MASH_SHARE = 0.65  # of all liquor, where nothing else sets the split
HOPS_KG_PER_KG = 0.01  # of the grain: what a moderately bitter beer takes; common practice
EVERYWHERE = "the fermenters"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """What came of one guess: `strength` and `split` are relative and zero when met.

    Margins have the shape (limits, gravities); `limits` names each with its vessel and unit; `mashes` is how
    often the amounts are mashed.  `volume_l` is reached with the asked odds, `middle_l` at even ones.
    """

    strength: Array
    split: Array
    margins: Array
    limits: tuple[tuple[str, str, str], ...]
    volume_l: Array
    middle_l: Array
    mashes: int

    def at(self, rows: NDArray[np.intp]) -> Shown:
        """What came of some gravities."""
        return replace(
            self,
            strength=self.strength[rows],
            split=self.split[rows],
            margins=self.margins[:, rows],
            volume_l=self.volume_l[rows],
            middle_l=self.middle_l[rows],
        )

    def with_rows(self, rows: NDArray[np.intp], others: Shown) -> Shown:
        """The same with what came of another guess for some gravities."""
        margins = self.margins.copy()
        margins[:, rows] = others.margins
        return replace(
            self,
            strength=_put(self.strength, rows, others.strength),
            split=_put(self.split, rows, others.split),
            margins=margins,
            volume_l=_put(self.volume_l, rows, others.volume_l),
            middle_l=_put(self.middle_l, rows, others.middle_l),
        )


class Repeated(Mapping[str, Array]):
    """Draws of figures, the same block of them for every gravity."""

    def __init__(self, drawn: FigureDraws, times: int) -> None:
        self._drawn, self._times = drawn, times
        self._kept: dict[str, Array] = {}

    def times(self, times: int) -> Repeated:
        """The same draws for another number of gravities."""
        return Repeated(self._drawn, times)

    def __getitem__(self, name: str) -> Array:
        if name not in self._kept:
            self._kept[name] = np.tile(self._drawn[name], self._times)
        return self._kept[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._drawn)

    def __len__(self) -> int:
        return len(self._drawn)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """One way of making wort at several gravities, ready to be run."""

    plan: Plan
    brewery: Brewery
    way: Way
    plato: Array
    figures: Repeated
    draws: int
    odds: float

    def at(self, plato: Array) -> Rows:
        """The same at other gravities."""
        return replace(self, plato=plato, figures=self.figures.times(len(plato)))

    @property
    def mashes(self) -> int:
        """How often it is mashed for one boil."""
        return 2 if self.way == "two mashes" else 1

    @property
    def rinsed(self) -> bool:
        """Whether rinse liquor is among the unknowns."""
        return self.plan.process.kind != "full volume"

    def shown(self, logs: Array) -> Shown:
        """Run these amounts (gravities, unknowns); logs of kg and L for one mash.

        Raises OutsideValidity where an equation is led beyond its source.
        """
        amounts = np.repeat(np.exp(logs), self.draws, axis=0)
        once = _poured(self.plan, amounts, 1)
        mash = run_mash(once, self.brewery, self.figures)
        whole = once if self.mashes == 1 else _poured(self.plan, amounts, self.mashes)
        wort = mash.wort if self.mashes == 1 else mash.wort.share(float(self.mashes))
        kettle = run_kettle(whole, self.brewery, self.figures, wort)
        made = Measured.of(kettle.wort)
        kept = [*self._limits(once, mash, kettle), self._fermenters(made.volume_l)]
        return Shown(
            strength=np.median(self._blocks(made.plato), axis=1) / self.plato - 1.0,
            split=self._split(mash, kettle, amounts),
            margins=np.stack([self._sure(limit.margin) for limit in kept]),
            limits=tuple((limit.name, limit.vessel, limit.unit) for limit in kept),
            volume_l=self._sure(made.volume_l),
            middle_l=np.median(self._blocks(made.volume_l), axis=1),
            mashes=self.mashes,
        )

    def _limits(self, plan: Plan, mash: MashCourse, kettle: KettleCourse) -> Iterator[Limit]:
        course = Course(
            mash=mash, kettle=kettle, portions=(), blends=(), undivided_kg=0.0, limit=0.0, ledger=()
        )
        for limit in limits(replace(plan, portions=()), self.brewery, self.figures, course):
            if limit.name == "mash thickness" and self.rinsed:
                # The split keeps to it until no rinse is left to take from.  A log, as the steps are of logs.
                left = np.asarray(plan.liquor.rinse_l) / np.asarray(plan.liquor.mash_l)
                yield replace(limit, margin=np.log(left / NO_RINSE))
                continue
            if limit.name != "foam room" or self.way != "fed during the boil":
                yield limit
                continue
            # What would not fit is held back and fed in as the level falls, so the end of the boil counts.
            room_l = np.asarray(limit.margin) + kettle.boil_level_l
            yield replace(limit, margin=room_l - kettle.end_level_l)
        if self.way == "two mashes":
            pots = [v.capacity_l for k, v in self.brewery.vessels.items() if k != self.brewery.kettle]
            pots += [fermenter.capacity_l for fermenter in self.brewery.fermenters.values()]
            put_by = Measured.of(mash.wort).volume_l
            yield Limit(
                name="first wort put by", vessel="largest spare vessel", margin=max(pots) - put_by, unit="L"
            )

    def _fermenters(self, volume_l: Value) -> Limit:
        """All fermenters together, each with the usual room above its wort."""
        room = sum(f.capacity_l for f in self.brewery.fermenters.values()) / (1.0 + HEAD_ROOM)
        return Limit(name="head room", vessel=EVERYWHERE, margin=room - np.asarray(volume_l), unit="L")

    def _split(self, mash: MashCourse, kettle: KettleCourse, amounts: Array) -> Array:
        """Zero where mash and rinse are split well: vessels equally full, the mash not too thick to stir."""
        if not self.rinsed:
            return np.zeros(len(self.plato))
        thick = amounts[:: self.draws, 1] / amounts[:: self.draws, 0] / LEAST_LIQUOR - 1.0
        brewery = self.brewery
        full = np.asarray(mash.level_l) / self._mash_capacity()
        if mash.rinse_level_l is not None and brewery.rinse is not None:
            other = np.asarray(mash.rinse_level_l) / brewery.vessels[brewery.rinse].capacity_l
        else:
            boil_l = brewery.vessels[brewery.kettle].capacity_l * (1.0 - brewery.foam_room)
            full = full / (1.0 - brewery.stir_room)
            other = np.asarray(kettle.boil_level_l) / boil_l / self.mashes
        fuller = np.median(self._blocks(full - other), axis=1)
        # A small second vessel stays fuller whatever is poured; then it gets the least that is worth it.
        pours = np.log(amounts[:: self.draws, 2] / amounts[:: self.draws, 1] / LEAST_RINSE)
        return np.minimum(np.maximum(fuller, -pours), thick)

    def _mash_capacity(self) -> float:
        tun = self.brewery.tun if self.plan.process.drain == "tun" else None
        return self.brewery.vessels[tun or self.brewery.kettle].capacity_l

    def _sure(self, values: Value) -> Array:
        """What holds with the asked odds, block by block."""
        blocks = self._blocks(values)
        rank = (1.0 - self.odds) * (self.draws - 1)
        low = int(rank)
        parted = np.partition(blocks, [low, min(low + 1, self.draws - 1)], axis=1)
        below, above = parted[:, low], parted[:, min(low + 1, self.draws - 1)]
        return below + (rank - low) * (above - below)

    def _blocks(self, values: Value) -> Array:
        rows = np.broadcast_to(np.asarray(values, dtype=float), (len(self.plato) * self.draws,))
        return rows.reshape(len(self.plato), self.draws)


def rows_of(plan: Plan, brewery: Brewery, way: Way, plato: Array, latents: Array, odds: float) -> Rows:
    """A way of making wort of the plan's grist at these gravities. [°P]"""
    whole = sum(grain.share or grain.mass_kg or 0.0 for grain in plan.grist)
    grist = tuple(
        replace(g, share=(g.share or g.mass_kg or 0.0) / whole, mass_kg=None, colour_ebc=0.0)
        for g in plan.grist
    )
    made = replace(
        plan,
        grist=grist,
        # What sets a volume is the wort that hops keep, not what they give: they go in when all is over.
        hops=tuple(replace(hop, use="boil", minutes=0.0) for hop in plan.hops if hop.use != "dry")[:1],
        bitterness_by="trade rule",
        additions=(),
        stand=None,
        process=replace(plan.process, kind=_kind(way, plan, brewery)),
        liquor=replace(plan.liquor, kettle_l=0.0, doses=()),
    )
    drawn = FigureDraws(figures_of(made, brewery), _as_wide(latents, len(figures_of(made, brewery))))
    return Rows(
        plan=made,
        brewery=brewery,
        way=way,
        plato=plato,
        figures=Repeated(drawn, len(plato)),
        draws=len(latents),
        odds=odds,
    )


def start_of(rows: Rows) -> Array:
    """A first guess: half a kettle of wort, and what it takes in the usual way. Logs of kg and L."""
    volume = 0.5 * rows.brewery.vessels[rows.brewery.kettle].capacity_l
    grain = volume * rows.plato / 100.0 / 0.6 / rows.mashes
    liquor = (volume + 6.0) / rows.mashes + grain
    if not rows.rinsed:
        return np.log(np.stack([grain, liquor], axis=-1))
    mash = np.maximum(MASH_SHARE * liquor, 1.05 * LEAST_LIQUOR * grain)
    logs: Array = np.log(np.stack([grain, mash, np.maximum(liquor - mash, 0.15 * liquor)], axis=-1))
    return logs


def _put(values: Array, rows: NDArray[np.intp], others: Array) -> Array:
    out = values.copy()
    out[rows] = others
    return out


def _kind(way: Way, plan: Plan, brewery: Brewery) -> ProcessKind:
    if way == "fed during the boil" or way == "two mashes":
        if plan.process.kind in ("full volume", "extract only"):
            return "dunk rinse" if brewery.rinse else "full volume"
        return plan.process.kind
    return way


def _poured(plan: Plan, amounts: Array, times: int) -> Plan:
    """The plan with amounts row by row: the nouns say one number, the flow takes one for each draw, too."""
    grain = times * amounts[:, 0]
    rowed: dict[str, Any] = {"mash_l": times * amounts[:, 1]}
    if amounts.shape[1] == 3:
        rowed["rinse_l"] = times * amounts[:, 2]
    grist = tuple(_with(g, mass_kg=grain * (g.share or 0.0)) for g in plan.grist)
    hops = tuple(_with(hop, mass_kg=grain * HOPS_KG_PER_KG) for hop in plan.hops)
    return replace(plan, liquor=_with(plan.liquor, **rowed), grist=grist, hops=hops)


def _with(noun: Any, **rows: Any) -> Any:
    return replace(noun, **rows)


def _as_wide(latents: Array, columns: int) -> Array:
    if latents.shape[1] < columns:
        raise ValueError(f"{columns} figures need as many columns of latents, not {latents.shape[1]}")
    wide: Array = latents[:, :columns]
    return wide
