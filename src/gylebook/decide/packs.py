"""Bring a plan to weights that end with whole packs, and say what to buy.

In:  a solved plan, a larder, and how far each weight may move.
Out: `Bought`: the plan with its weights moved, packs to buy with their cost, and what is left over.

Idea: one mixed-integer program.  How many packs are bought is whole, what is weighed in is a whole number
of the scale's steps; grain may move by a share of the grist, hops by a share of themselves, so that a bag
ends empty where the beer does not notice.  Money counts, and leftovers count at a part of their price.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.larder import Larder, Pack
from gylebook.brewery.plan import Plan
from gylebook.errors import NotConverged
from gylebook.figures.draws import Array

STEP_KG = {"grain": 0.01, "hops": 0.001, "other": 0.001}  # what a weight is a whole number of; judgement
GRIST_MOVES = 0.01  # of the whole grist, that one grain's share may move by
WHOLE_MOVES = 0.02  # of the grist's mass
HOPS_MOVE = 0.05  # of an addition
OTHER_MOVES = 0.02
LEFT_OVER_COUNTS = 0.3  # of its price: it keeps, but not for ever
MOST_PACKS = 99
MOST_LEFT_KG = 2000.0  # beyond anything that a larder holds
A_TRIFLE = 1e-3  # a kilogram of what costs nothing, so that it does not move for nothing either
MOVING_COUNTS = 0.35  # of its price: more than what is left over, so that nothing moves for a little less
EVEN = 0.15  # of a pack's price, what it is worth that the last pack ends empty


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing that a plan weighs in, and between what it may lie. [kg]"""

    of: str
    field: str  # where in the plan it stands: "grist/pale"
    kind: str
    planned_kg: float
    least_kg: float
    most_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A weight that was moved. [kg]"""

    of: str
    before: float
    after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One thing of a shopping list: packs to buy, what they cost, what is used and left. [kg, or packs]"""

    of: str
    size_kg: float | None
    packs: int
    cost: float
    used: float
    at_hand: float
    left: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """A plan in weights that a person can buy, and the shopping list; `missing` is sold by nobody here."""

    plan: Plan
    purchases: tuple[Purchase, ...]
    missing: tuple[tuple[str, float | None], ...]
    cost: float
    moved: tuple[Moved, ...]


def buy(plan: Plan, larder: Larder, *, grist_moves: float = GRIST_MOVES) -> Bought:
    """The plan with its weights moved to what packs give, at the least cost and with the least left over.

    Raises NotConverged where the packs that may be bought do not hold enough.
    """
    needs = _needs(plan, grist_moves)
    sold = {name: tuple(p for p in larder.packs if _same(p.of, name)) for name in {n.of for n in needs}}
    known = [need for need in needs if sold[need.of]]
    weights, counts = _solved(plan, known, sold, grist_moves) if known else ({}, {})
    yeasts = _yeasts(plan, larder)
    changed = _reweighed(plan, weights)
    purchases = [*_purchases(weights, known, sold, counts), *yeasts.values()]
    return Bought(
        plan=changed,
        purchases=tuple(purchases),
        missing=(
            *((need.of, need.planned_kg) for need in needs if not sold[need.of]),
            *((kind, None) for kind in _yeast_packs(plan) if kind not in yeasts),
        ),
        cost=sum(one.cost for one in purchases),
        moved=tuple(
            Moved(of=need.of, before=need.planned_kg, after=weights[need.field])
            for need in known
            if abs(weights[need.field] - need.planned_kg) > 0.5 * STEP_KG[need.kind]
        ),
    )


def wanted(plan: Plan) -> tuple[tuple[str, str, float], ...]:
    """All that a solved plan weighs in: its name, its kind, and how much. [kg, yeast in packs]"""
    out: dict[str, tuple[str, float]] = {}
    for need in _needs(plan, GRIST_MOVES):
        kind, mass = out.get(need.of, (need.kind, 0.0))
        out[need.of] = kind, mass + need.planned_kg
    out |= {kind: ("yeast", float(packs)) for kind, packs in _yeast_packs(plan).items()}
    return tuple((name, kind, amount) for name, (kind, amount) in out.items())


def _needs(plan: Plan, grist_moves: float) -> list[Need]:
    whole = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    needs = [
        _need(g.name, f"grist/{g.key}", "grain", g.mass_kg or 0.0, (grist_moves + WHOLE_MOVES) * whole)
        for g in plan.grist
    ]
    needs += [
        _need(h.variety, f"hops/{h.key}", "hops", h.mass_kg or 0.0, HOPS_MOVE * (h.mass_kg or 0.0))
        for h in plan.hops
    ]
    needs += [
        _need(it.name, f"additions/{it.key}", "other", it.mass_kg, OTHER_MOVES * it.mass_kg)
        for it in plan.additions
    ]
    needs += [
        _need(t.name, f"grain_teas/{t.key}", "other", t.mass_kg, HOPS_MOVE * t.mass_kg)
        for t in plan.grain_teas
    ]
    needs += [
        _need(t.variety, f"hop_teas/{t.key}", "hops", t.mass_kg, HOPS_MOVE * t.mass_kg) for t in plan.hop_teas
    ]
    return needs


def _need(of: str, field: str, kind: str, planned: float, moves: float) -> Need:
    return Need(
        of=of,
        field=field,
        kind=kind,
        planned_kg=planned,
        least_kg=max(planned - moves, 0.0),
        most_kg=planned + moves,
    )


def _same(one: str, other: str) -> bool:
    return one.casefold() == other.casefold()


def _solved(
    plan: Plan, needs: Sequence[Need], sold: Mapping[str, tuple[Pack, ...]], grist_moves: float
) -> tuple[dict[str, float], dict[tuple[str, int], int]]:
    """Weights by field, and packs by name and number.

    The unknowns are steps of the scale for each weight, packs for each way to buy, what is left of each
    thing, how far each weight moves, and of each thing whether nothing is left.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    names = list(dict.fromkeys(need.of for need in needs))
    ways = [(name, k) for name in names for k in range(len(sold[name]))]
    n, w, m = len(needs), len(ways), len(names)
    left, moved, even = n + w, n + w + m, n + w + m + n
    size = n + w + m + n + m
    steps = np.array([STEP_KG[need.kind] for need in needs])
    cost = np.zeros(size)
    low, high = np.zeros(size), np.full(size, np.inf)
    for i, need in enumerate(needs):
        low[i], high[i] = math.floor(need.least_kg / steps[i]), math.ceil(need.most_kg / steps[i])
        cost[moved + i] = MOVING_COUNTS * max(min(_per_kg(pack) for pack in sold[need.of]), A_TRIFLE)
    for j, (name, k) in enumerate(ways):
        pack = sold[name][k]
        cost[n + j] = pack.price
        high[n + j] = MOST_PACKS if pack.most is None else pack.most
    for a, name in enumerate(names):
        cost[left + a] = LEFT_OVER_COUNTS * min(_per_kg(pack) for pack in sold[name])
        cost[even + a] = -EVEN * min(pack.price for pack in sold[name])
        high[even + a] = 1.0
    rows: list[Array] = []
    least: list[float] = []
    most: list[float] = []

    def hold(row: Array, low_end: float, high_end: float) -> None:
        rows.append(row)
        least.append(low_end)
        most.append(high_end)

    for a, name in enumerate(names):  # at hand and bought = used and left
        row = np.zeros(size)
        row[[i for i in range(n) if needs[i].of == name]] = [
            -steps[i] for i in range(n) if needs[i].of == name
        ]
        for j, (other, k) in enumerate(ways):
            row[n + j] = (sold[other][k].size_kg or 0.0) if other == name else 0.0
        row[left + a] = -1.0
        at_hand = sum(pack.at_hand for pack in sold[name])
        hold(row, -at_hand, -at_hand)
        row = np.zeros(size)  # even, where nothing is left
        row[left + a], row[even + a] = 1.0, MOST_LEFT_KG
        hold(row, -np.inf, MOST_LEFT_KG)
    for i, need in enumerate(needs):  # moved, up or down
        for sign in (1.0, -1.0):
            row = np.zeros(size)
            row[i], row[moved + i] = sign * steps[i], -1.0
            hold(row, -np.inf, sign * need.planned_kg)
    _hold_grist(plan, needs, steps, size, grist_moves, hold)
    found = milp(
        cost,
        integrality=np.r_[np.ones(n + w), np.zeros(m + n), np.ones(m)],
        bounds=Bounds(low, high),
        constraints=LinearConstraint(np.array(rows), least, most),
        options={"time_limit": 20.0},
    )
    if found.x is None:
        raise NotConverged(
            "The packs that may be bought do not hold what this plan needs: allow more packs, or more of it "
            "to move."
        )
    weights = {need.field: round(float(found.x[i]) * float(steps[i]), 6) for i, need in enumerate(needs)}
    return weights, {way: round(float(found.x[n + j])) for j, way in enumerate(ways)}


def _hold_grist(
    plan: Plan, needs: Sequence[Need], steps: Array, size: int, grist_moves: float, hold: object
) -> None:
    """Each grain keeps its share, and the grist its mass, to what may be moved."""
    whole = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    grains = [i for i, need in enumerate(needs) if need.kind == "grain"]
    fixed = whole - sum(needs[i].planned_kg for i in grains)  # what nobody sells stays as it is
    for i in grains:
        share = needs[i].planned_kg / whole
        for edge, sign in ((share + grist_moves, 1.0), (share - grist_moves, -1.0)):
            row = np.zeros(size)
            row[grains] = -sign * edge * steps[grains]
            row[i] += sign * steps[i]
            hold(row, -np.inf, sign * edge * fixed)  # type: ignore[operator]
    if grains:
        row = np.zeros(size)
        row[grains] = steps[grains]
        hold(row, (1.0 - WHOLE_MOVES) * whole - fixed, (1.0 + WHOLE_MOVES) * whole - fixed)  # type: ignore[operator]


def _per_kg(pack: Pack) -> float:
    return pack.price / pack.size_kg if pack.size_kg else 0.0


def _purchases(
    weights: Mapping[str, float],
    needs: Sequence[Need],
    sold: Mapping[str, tuple[Pack, ...]],
    counts: Mapping[tuple[str, int], int],
) -> list[Purchase]:
    out = []
    for name in dict.fromkeys(need.of for need in needs):
        used = sum(weights[need.field] for need in needs if need.of == name)
        at_hand = sum(pack.at_hand for pack in sold[name])
        bought = [(pack, counts[name, k]) for k, pack in enumerate(sold[name])]
        have = at_hand + sum((pack.size_kg or 0.0) * count for pack, count in bought)
        chosen = [(pack, count) for pack, count in bought if count] or [(sold[name][0], 0)]
        for number, (pack, count) in enumerate(chosen):  # used and left are told once, with the first
            first = number == 0
            out.append(
                Purchase(
                    of=name,
                    size_kg=pack.size_kg,
                    packs=count,
                    cost=pack.price * count,
                    used=used if first else 0.0,
                    at_hand=at_hand if first else 0.0,
                    left=max(round(have - used, 6), 0.0) if first else 0.0,
                )
            )
    return out


def _yeast_packs(plan: Plan) -> dict[str, int]:
    """Packs of each kind of yeast, counted up."""
    out: dict[str, float] = {}
    for portion in plan.portions:
        if portion.yeast.form != "slurry":
            out[portion.yeast.kind] = out.get(portion.yeast.kind, 0.0) + portion.yeast.packs
    return {kind: math.ceil(packs - 1e-9) for kind, packs in out.items()}


def _yeasts(plan: Plan, larder: Larder) -> dict[str, Purchase]:
    out = {}
    for kind, wanted in _yeast_packs(plan).items():
        pack = min((p for p in larder.packs if _same(p.of, kind)), key=lambda p: p.price, default=None)
        if pack is None:
            continue
        count = max(wanted - math.floor(pack.at_hand), 0)
        if pack.most is not None and count > pack.most:
            raise NotConverged(f"{kind} wants {count} packs more, and {pack.most} may be bought.")
        out[kind] = Purchase(
            of=kind,
            size_kg=None,
            packs=count,
            cost=pack.price * count,
            used=float(wanted),
            at_hand=pack.at_hand,
            left=pack.at_hand + count - wanted,
        )
    return out


def _reweighed(plan: Plan, weights: Mapping[str, float]) -> Plan:
    """The plan with these weights; what has none keeps its own."""

    def of(place: str, key: str, planned: float | None) -> float | None:
        return weights.get(f"{place}/{key}", planned)

    return replace(
        plan,
        grist=tuple(replace(g, mass_kg=of("grist", g.key, g.mass_kg)) for g in plan.grist),
        hops=tuple(replace(h, mass_kg=of("hops", h.key, h.mass_kg)) for h in plan.hops),
        additions=tuple(
            replace(it, mass_kg=weights.get(f"additions/{it.key}", it.mass_kg)) for it in plan.additions
        ),
        grain_teas=tuple(
            replace(t, mass_kg=weights.get(f"grain_teas/{t.key}", t.mass_kg)) for t in plan.grain_teas
        ),
        hop_teas=tuple(
            replace(t, mass_kg=weights.get(f"hop_teas/{t.key}", t.mass_kg)) for t in plan.hop_teas
        ),
    )
