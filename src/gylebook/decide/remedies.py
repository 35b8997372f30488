"""Put side by side what can still be done about a drift.

In:  the solved plan, the step last read, and the figures' latents given all readings.
Out: `Remedy`s, each a changed plan with the amount that serves best, ranked by expected loss; leaving it
     is always among them.

Idea: a remedy is an edit of the plan, so the same forward run forecasts it; one amount is searched for each
deed, and only deeds that are still open after the step last read are tried.  One that would overfill a
vessel, or break another limit that leaving it keeps, stands behind all that would not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from gylebook.brewery.ingredients import Addition, Hop
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.souring import finished, ph_loss, still_to_sour, too_far
from gylebook.decide.targets import Targets, expected_loss
from gylebook.errors import OutsideValidity
from gylebook.figures.draws import Array, odds
from gylebook.gyle.dosing import is_poured
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import Limit, limits

STEPS = (
    *("heat liquor", "mash", "mash end", "lift", "rinse", "heat to boil", "preboil", "boil end", "chill"),
    "fermenters",
)
# The step of the day at which each limit is met or broken; the portions' own stand with the fermenters.
MET_AT = {
    "mash brim": "mash",
    "mash thickness": "mash",
    "heating the liquor": "heat liquor",
    "bag weight": "lift",
    "heating the rinse": "rinse",
    "rinse vessel brim": "rinse",
    "heating to the boil": "heat to boil",
    "foam room": "preboil",
    "kettle brim at the end": "boil end",
    "cooling": "chill",
}
FEW = 4  # the search uses every fourth draw
WORTH = 0.98  # a remedy must take at least 2 % off the loss of leaving it
DRIED_EXTRACT = (0.95, 0.62)  # share of extract, real share of it fermentable; trade range
LONGEST_EXTRA_BOIL = 90.0
SHORTEST_BOIL = 30.0
# In place of what was held back; on top of it, once that went in; nothing before another reading.
MASH_PH_DEEDS = ("finish the mash pH", "move the mash pH", "read the mash pH again")


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """A kind of remedy: how an amount of it changes the plan, and up to how much makes sense."""

    name: str
    most: float
    dimension: str
    of: str
    change: Callable[[float], Plan]


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """Something to do, how much of it, what the plan is then, its expected loss, the odds of all limits.

    `tightest` is the limit that is then kept least surely.
    """

    deed: str
    amount: float
    dimension: str
    of: str
    plan: Plan
    loss: float
    odds_kept: float
    tightest: Limit


def remedies(
    plan: Plan,
    brewery: Brewery,
    latents: Array,
    wanted: Targets,
    last_step: str,
    *,
    ph_doubted: bool = False,
) -> tuple[Remedy, ...]:
    """Everything sensible that can still be done, the best first.

    `ph_doubted`: a reading of the mash pH does not fit the rest, so nothing is poured for it.
    """
    few = latents[::FEW]

    def loss(changed: Plan, rows: Array) -> float:
        return expected_loss(wanted, Model(changed, brewery).forecast(rows))

    ahead = Model(plan, brewery).forecast(latents)
    divided_l = float(np.median(ahead["fermenters.volume_l"])) - sum(p.top_up_l for p in plan.portions)
    kept, tightest = _kept(plan, brewery, latents, last_step)
    leave = Remedy(
        deed="leave it",
        amount=0.0,
        dimension="",
        of="",
        plan=plan,
        loss=expected_loss(wanted, ahead),
        odds_kept=kept,
        tightest=tightest,
    )
    out = [leave]
    for deed in _deeds(plan, last_step, wanted, divided_l):
        amount = _best(partial(_loss_after, deed, loss, few), deed.most)
        changed = deed.change(amount)
        reached = loss(changed, latents)
        if reached < WORTH * leave.loss:
            kept, tightest = _kept(changed, brewery, latents, last_step)
            out.append(
                Remedy(
                    deed=deed.name,
                    amount=amount,
                    dimension=deed.dimension,
                    of=deed.of,
                    plan=changed,
                    loss=reached,
                    odds_kept=kept,
                    tightest=tightest,
                )
            )
    if still_to_sour(plan, brewery, last_step):
        out = _with_mash_ph(plan, brewery, latents, out, last_step, ph_doubted)
    least = min(plan.aims.odds, leave.odds_kept)
    return tuple(sorted(out, key=lambda remedy: (remedy.odds_kept < least, remedy.loss)))


def _with_mash_ph(
    plan: Plan, brewery: Brewery, latents: Array, found: list[Remedy], last_step: str, ph_doubted: bool
) -> list[Remedy]:
    """The same with what the mash pH costs, and what would finish it among them; the first leaves it.

    A mash that seems far off is read again before anything is poured.
    """
    as_it_is = ph_loss(plan, brewery, latents)
    out = [replace(remedy, loss=remedy.loss + as_it_is) for remedy in found]
    if ph_doubted or too_far(plan, brewery, latents):
        return [replace(out[0], deed="read the mash pH again"), *out]
    done = finished(plan, brewery, latents, last_step)
    if done is None:
        return out
    changed, doses = done
    reached = ph_loss(changed, brewery, latents)
    if reached < WORTH * as_it_is:
        dose = doses[0] if doses else None
        finish = Remedy(
            deed=MASH_PH_DEEDS[last_step == "mash end"],
            amount=dose.amount / 1000.0 if dose else 0.0,
            dimension="dose volume" if dose and is_poured(dose) else "dose mass",
            of=dose.of if dose else "",
            plan=changed,
            loss=found[0].loss + reached,
            odds_kept=found[0].odds_kept,
            tightest=found[0].tightest,
        )
        out.append(finish)
    return out


def _kept(plan: Plan, brewery: Brewery, latents: Array, last_step: str) -> tuple[float, Limit]:
    """Odds that every limit still ahead is kept at once, and the one that is kept least surely."""
    model = Model(plan, brewery)
    every = limits(plan, brewery, model.draw(latents), model.course(latents))
    found = still_ahead(every, position(last_step))
    held = [np.broadcast_to(limit.margin, len(latents)) >= 0.0 for limit in found]
    return odds(np.logical_and.reduce(held)), min(found, key=lambda limit: limit.odds_kept)


def _loss_after(deed: Deed, loss: Callable[[Plan, Array], float], rows: Array, amount: float) -> float:
    return loss(deed.change(amount), rows)


def _best(loss: Callable[[float], float], most: float) -> float:
    """The amount between nothing and `most` that loses least."""
    from scipy.optimize import minimize_scalar

    def bearable(amount: float) -> float:
        try:
            return loss(amount)
        except OutsideValidity:  # so much of it leaves what the equations know
            return float("inf")

    found = minimize_scalar(bearable, bounds=(0.0, most), method="bounded", options={"xatol": most / 400.0})
    return float(found.x)


def position(step: str) -> int:
    """Where in the day a step stands; a portion's own steps stand with the fermenters."""
    return STEPS.index(step) if step in STEPS else len(STEPS) - 1


def met_at(limit: str) -> int:
    """Where in the day a limit is met or broken."""
    return position(MET_AT.get(limit, "fermenters"))


def still_ahead(found: Iterable[Limit], now: int) -> tuple[Limit, ...]:
    """The limits but those of a step that the day has left behind, `now` as `position` tells it."""
    return tuple(limit for limit in found if met_at(limit.name) >= now)


def _deeds(plan: Plan, last_step: str, wanted: Targets, divided_l: float) -> Iterator[Deed]:
    """What is still open after the step last read, with `divided_l` of wort to be divided."""
    at = position(last_step)
    volume = sum(target.mark_l for target in wanted.values())
    if at <= STEPS.index("boil end"):
        yield Deed(
            name="add liquor",
            most=0.4 * volume,
            dimension="volume",
            of="",
            change=lambda x: replace(plan, liquor=replace(plan.liquor, kettle_l=plan.liquor.kettle_l + x)),
        )
        yield Deed(
            name="boil longer",
            most=LONGEST_EXTRA_BOIL,
            dimension="duration",
            of="",
            change=lambda x: _boiled(plan, x, all_in=at >= STEPS.index("boil end")),
        )
        yield from _sweeter(plan, "kettle end", volume)
    if at < STEPS.index("boil end"):
        if plan.boil_minutes > SHORTEST_BOIL:
            yield Deed(
                name="boil shorter",
                most=plan.boil_minutes - SHORTEST_BOIL,
                dimension="duration",
                of="",
                change=lambda x: _boiled_short(plan, x),
            )
        yield from (_hop_deed(plan, hop) for hop in plan.hops if hop.use in ("boil", "stand"))
    elif at == STEPS.index("boil end"):
        yield from (_hop_deed(plan, hop) for hop in plan.hops if hop.use == "stand")
    if at > STEPS.index("boil end"):
        yield Deed(
            name="add liquor",
            most=0.4 * volume,
            dimension="volume",
            of="the fermenters",
            change=lambda x: _topped_up(plan, wanted, x),
        )
        yield from _moves(plan, divided_l)


def _boiled(plan: Plan, minutes: float, *, all_in: bool) -> Plan:
    """Boiled so much longer; hops that are in the kettle already boil with it."""
    hops = plan.hops
    if all_in:
        hops = tuple(replace(h, minutes=h.minutes + minutes) if h.use == "boil" else h for h in hops)
    return replace(plan, boil_minutes=plan.boil_minutes + minutes, hops=hops)


def _boiled_short(plan: Plan, minutes: float) -> Plan:
    """Boiled so much less; what was to boil for longer boils from the start."""
    left = plan.boil_minutes - minutes
    hops = tuple(replace(h, minutes=min(h.minutes, left)) if h.use == "boil" else h for h in plan.hops)
    return replace(plan, boil_minutes=left, hops=hops)


def _sweeter(plan: Plan, at: str, volume: float) -> Iterator[Deed]:
    for name, key, (extract, fermentable) in (
        ("add extract", "dried malt extract", DRIED_EXTRACT),
        ("add sugar", "sugar", (1.0, 1.0)),
    ):

        def change(
            x: float, key: str = key, extract: float = extract, fermentable: float = fermentable
        ) -> Plan:
            added = Addition(
                key=f"remedy {key}", name=key, mass_kg=x, extract=extract, fermentable=fermentable, at=at
            )
            return replace(plan, additions=(*plan.additions, added))

        yield Deed(name=name, most=0.08 * volume, dimension="mass", of=key, change=change)


def _hop_deed(plan: Plan, hop: Hop) -> Deed:
    """More or less of one addition, as its new mass."""

    def change(x: float) -> Plan:
        return replace(plan, hops=tuple(replace(h, mass_kg=x) if h.key == hop.key else h for h in plan.hops))

    return Deed(
        name="change a hop",
        most=3.0 * (hop.mass_kg or 0.0) + 0.005,
        dimension="mass",
        of=hop.key,
        change=change,
    )


def _topped_up(plan: Plan, wanted: Targets, litres: float) -> Plan:
    """Boiled, cooled liquor into all fermenters, in proportion to what each was to hold."""
    portions = tuple(replace(p, top_up_l=p.top_up_l + litres * wanted[p.key].weight) for p in plan.portions)
    return replace(plan, portions=portions)


def _moves(plan: Plan, divided_l: float) -> Iterator[Deed]:
    """Wort from one portion to another, while all are still wort, as litres."""
    if any(p.share is None for p in plan.portions):
        return
    whole_l = divided_l / sum(p.share or 0.0 for p in plan.portions)
    for giver in plan.portions:
        for taker in plan.portions:
            if giver.key == taker.key:
                continue

            def change(x: float, giver: str = giver.key, taker: str = taker.key) -> Plan:
                moved = {giver: -x / whole_l, taker: x / whole_l}
                portions = tuple(
                    replace(p, share=(p.share or 0.0) + moved.get(p.key, 0.0)) for p in plan.portions
                )
                return replace(plan, portions=portions)

            yield Deed(
                name="move wort",
                most=0.5 * (giver.share or 0.0) * whole_l,
                dimension="volume",
                of=f"{giver.key} to {taker.key}",
                change=change,
            )
