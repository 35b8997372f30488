"""Find what a plan names but does not have, and what stands in an order that no brewer can keep.

In:  a `Plan`, from a file, a solver or a remedy.
Out: for each fault its path in a plan file, what was understood and what would be accepted.

Idea: one check serves the file, whose lines are known, and the plan that was changed since.  Names that
only the brewery knows are looked for in `together`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from gylebook.brewery.plan import Plan, Portion, ProcessKind
from gylebook.exchange.lines import Path
from gylebook.exchange.refusals import nearest

Fault = tuple[Path, str, str]

HOP_TIME_BEYOND_BOIL = 1e-9
SAME_DAY = 1e-6  # days; a file keeps nine decimals
BEYOND_ALL = 1e-9  # of a portion, shared out among blends
NOT_MADE: Mapping[ProcessKind, tuple[str, ...]] = {
    "full volume": ("rinse",),
    "extract only": ("mash", "rinse"),
}


def plan_references(plan: Plan) -> list[Fault]:
    """Every name in a plan that points at nothing in it, every amount that nothing can settle, every time
    that comes too late.
    """
    return [
        *_bitterness(plan),
        *_hops(plan),
        *_liquor(plan),
        *_additions(plan),
        *_starters(plan),
        *_packing(plan),
        *_teas(plan),
        *_blends(plan),
    ]


def unknown(name: str, known: Collection[str], what: str) -> tuple[str, str]:
    """How an unknown name is refused: what was understood, what is known."""
    names = list(known)
    listed = ", ".join(f"“{n}”" for n in names) if names else "none at all"
    return f"there is no {what} “{name}”", f"{nearest(name, names)}Known: {listed}."


def _bitterness(plan: Plan) -> Iterator[Fault]:
    """No mass of hops makes no bitterness, so an aim of none settles nothing."""
    unsettled = dict.fromkeys(hop.variety for hop in plan.hops if hop.mass_kg is None)
    if unsettled and plan.aims.bitterness_ibu == 0:
        understood = f"0 IBU, and no mass of {', '.join(unsettled)}"
        accepted = 'aim for more than 0 IBU, give such hops a mass = "30 g", or leave them out.'
        yield ("aims", "bitterness"), understood, accepted


def _hops(plan: Plan) -> Iterator[Fault]:
    portions = [portion.key for portion in plan.portions]
    packed = {portion.key: _packed(portion) for portion in plan.portions}
    for index, hop in enumerate(plan.hops):
        if hop.portion is not None and hop.portion not in portions:
            yield ("hops", index, "portion"), *unknown(hop.portion, portions, "portion")
        if hop.use == "boil" and hop.minutes > plan.boil_minutes + HOP_TIME_BEYOND_BOIL:
            understood = f"{hop.minutes:g} min of a boil of {plan.boil_minutes:g} min"
            yield ("hops", index, "time"), understood, "hops boil for as long as the boil at most."
        if hop.use == "stand" and plan.stand is None:
            yield ("hops", index, "use"), "a stand, but there is none", "add a [stand] or choose another use."
        days = packed.get(hop.portion or "")
        if hop.use == "dry" and days is not None and hop.minutes > days + SAME_DAY:
            understood = f"{hop.minutes:g} d of dry hops in “{hop.portion}”, which is packed after {days:g} d"
            accepted = f"they lie there for {days:g} d at most; or pack it later, package.after."
            yield ("hops", index, "time"), understood, accepted
        if hop.mass_kg is None and plan.aims.bitterness_ibu is None:
            yield (
                ("hops", index, "mass"),
                f"no mass of {hop.variety}",
                'give mass = "30 g", or aims.bitterness so that it can be solved.',
            )


def _liquor(plan: Plan) -> Iterator[Fault]:
    """What is wanted of, or put into, liquor that the process does not have."""
    kind, liquor = plan.process.kind, plan.liquor
    lacks = NOT_MADE.get(kind, ())
    for index, dose in enumerate(liquor.doses):
        place = "mash" if dose.into == "held back" else dose.into
        if place in lacks:
            understood = f"“{dose.into}”, but {kind} has no {place}"
            accepted = "put it elsewhere, leave it out, or choose another process."
            yield ("doses", index, "into"), understood, accepted
    asked: dict[Path, tuple[str, object]] = {
        ("aims", "mash_ph"): ("mash", plan.aims.mash_ph),
        ("liquor", "rinse_ions"): ("rinse", liquor.rinse_ions),
        ("liquor", "rinse_alkalinity"): ("rinse", liquor.rinse_alkalinity),
    }
    for path, (stage, wish) in asked.items():
        if stage in lacks and wish not in (None, ()):
            yield path, f"{kind} has no {stage}", "leave it out, or choose another process."
    purer = liquor.diluted_with
    if purer is not None and not liquor.ions:
        such = 'such as [liquor.ions] with alkalinity = "60 mg/L CaCO3".'
        understood, accepted = f"“{purer}”, but no ion is wanted", f"say what for, {such}"
        if liquor.rinse_ions:
            understood = f"“{purer}”, but ions are wanted of the rinse alone"
            accepted = f"all liquor is diluted alike, for what stands in ions: say it there, {such}"
        yield ("liquor", "diluted_with"), understood, accepted
    if purer is not None and purer in dict(liquor.waters):
        accepted = "leave it out of the waters, and its share is solved; or leave out diluted_with."
        yield ("liquor", "diluted_with"), f"“{purer}”, which has a share already", accepted


def _additions(plan: Plan) -> Iterator[Fault]:
    places = ["boil", "kettle end", *(portion.key for portion in plan.portions)]
    for index, addition in enumerate(plan.additions):
        if addition.at not in places:
            yield ("additions", index, "at"), *unknown(addition.at, places, "place or portion")


def _starters(plan: Plan) -> Iterator[Fault]:
    starters = [starter.key for starter in plan.starters]
    for portion in plan.portions:
        wanted = portion.yeast.starter
        if wanted is not None and wanted not in starters:
            yield ("portions", portion.key, "yeast", "starter"), *unknown(wanted, starters, "starter")


def _packed(portion: Portion) -> float | None:
    """Days from pitching until a portion is packed, where the plan says so; what stays is not packed."""
    return None if portion.package.kind == "stays" else portion.package.after_days


def _packing(plan: Plan) -> Iterator[Fault]:
    for portion in plan.portions:
        later, days = portion.later, _packed(portion)
        if later is not None and days is not None and days < later.after_days - SAME_DAY:
            yield (
                ("portions", portion.key, "package", "after"),
                f"packed after {days:g} d, but {later.kind} goes in after {later.after_days:g} d",
                f"pack it {later.after_days:g} d after pitching or later, add that sooner, or let it stay: "
                'kind = "stays".',
            )


def _teas(plan: Plan) -> Iterator[Fault]:
    portions = [portion.key for portion in plan.portions]
    goes_to = {
        "grain_teas": [tea.at for tea in plan.grain_teas],
        "hop_teas": [tea.at for tea in plan.hop_teas],
    }
    for stage, places in goes_to.items():
        for index, at in enumerate(places):
            if at not in portions:
                yield (stage, index, "at"), *unknown(at, portions, "portion")


def _blends(plan: Plan) -> Iterator[Fault]:
    poured = {portion.key: 0.0 for portion in plan.portions}
    for blend in plan.blends:
        for key, share in blend.parts:
            path: Path = ("blends", blend.key, "parts", key)
            if key not in poured:
                yield path, *unknown(key, poured, "portion")
                continue
            poured[key] += share
            if poured[key] > 1.0 + BEYOND_ALL:
                understood = f"{100 * poured[key]:.4g} % of “{key}” in all blends together"
                yield path, understood, "a portion is poured out once: 100 % at most."
