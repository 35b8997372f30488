"""Find what a plan names but does not have.

In:  a `Plan`, from a file, a solver or a remedy.
Out: for each fault its path in a plan file, what was understood and what would be accepted.

Idea: one check serves the file, whose lines are known, and the plan that was changed since.  Names that
only the brewery knows are looked for in `together`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from gylebook.brewery.plan import Plan
from gylebook.exchange.lines import Path
from gylebook.exchange.refusals import nearest

Fault = tuple[Path, str, str]

HOP_TIME_BEYOND_BOIL = 1e-9
BEYOND_ALL = 1e-9  # of a portion, shared out among blends


def plan_references(plan: Plan) -> list[Fault]:
    """Every name in a plan that points at nothing in it, and every amount that nothing can settle."""
    return [*_hops(plan), *_additions(plan), *_starters(plan), *_teas(plan), *_blends(plan)]


def unknown(name: str, known: Collection[str], what: str) -> tuple[str, str]:
    """How an unknown name is refused: what was understood, what is known."""
    names = list(known)
    listed = ", ".join(f"“{n}”" for n in names) if names else "none at all"
    return f"there is no {what} “{name}”", f"{nearest(name, names)}Known: {listed}."


def _hops(plan: Plan) -> Iterator[Fault]:
    portions = [portion.key for portion in plan.portions]
    for index, hop in enumerate(plan.hops):
        if hop.portion is not None and hop.portion not in portions:
            yield ("hops", index, "portion"), *unknown(hop.portion, portions, "portion")
        if hop.use == "boil" and hop.minutes > plan.boil_minutes + HOP_TIME_BEYOND_BOIL:
            understood = f"{hop.minutes:g} min of a boil of {plan.boil_minutes:g} min"
            yield ("hops", index, "time"), understood, "hops boil for as long as the boil at most."
        if hop.use == "stand" and plan.stand is None:
            yield ("hops", index, "use"), "a stand, but there is none", "add a [stand] or choose another use."
        if hop.mass_kg is None and plan.aims.bitterness_ibu is None:
            yield (
                ("hops", index, "mass"),
                f"no mass of {hop.variety}",
                'give mass = "30 g", or aims.bitterness so that it can be solved.',
            )


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
