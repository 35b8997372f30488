"""Ask whether plan and brewery speak of the same things.

In:  a `Plan` and a `Brewery`.
Out: nothing, or `Refused` with every name that one has and the other lacks.

Idea: each file may be right alone and wrong beside another.  Whether the plan fits the brewery (volumes,
weights, times) is an answer of the flow and not asked here, nor what can be read on a day.
"""

from __future__ import annotations

from collections.abc import Iterator

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.lines import Path, in_words
from gylebook.exchange.references import Fault, plan_references, unknown

GIVE_A_WATER = (
    "add its report to the brewery file: [waters.mains.report] with alkalinity, calcium and what else it "
    "tells; or leave this out."
)


def check_together(plan: Plan, brewery: Brewery, *, plan_where: str = "plan") -> None:
    """Refuse, all at once, whatever the plan names and the brewery does not have.

    Raises
    ------
    Refused
        Every problem with the key it is about, what was understood, and what there is.
    """
    plan_faults = [
        *plan_references(plan),
        *_fermenters(plan, brewery),
        *_vessels(plan, brewery),
        *_waters(plan, brewery),
    ]
    problems = [_problem(plan_where, fault) for fault in plan_faults]
    if problems:
        raise Refused(problems)


def _problem(where: str, fault: Fault) -> Problem:
    path, understood, accepted = fault
    return Problem(f"{where}, {in_words(path)}", understood, accepted)


def _fermenters(plan: Plan, brewery: Brewery) -> Iterator[Fault]:
    taken: dict[str, str] = {}
    for portion in plan.portions:
        path = ("portions", portion.key, "fermenter")
        if portion.fermenter not in brewery.fermenters:
            yield path, *unknown(portion.fermenter, brewery.fermenters, "fermenter")
        elif portion.fermenter in taken:
            understood = f"“{portion.fermenter}” already holds “{taken[portion.fermenter]}”"
            free = [key for key in brewery.fermenters if key not in {p.fermenter for p in plan.portions}]
            listed = ", ".join(f"“{key}”" for key in free) or "none"
            yield path, understood, f"one fermenter holds one portion; still free: {listed}."
        taken.setdefault(portion.fermenter, portion.key)


def _vessels(plan: Plan, brewery: Brewery) -> Iterator[Fault]:
    if plan.process.kind == "dunk rinse" and brewery.rinse is None:
        accepted = "name a second vessel as rinse in the brewery file, or choose another process."
        yield ("process", "kind"), "a dunk rinse, but the brewery has no rinse vessel", accepted
    if plan.process.kind == "fly rinse" and brewery.tun in (None, brewery.kettle):
        accepted = "name it as tun in the brewery file, or choose another process."
        yield ("process", "kind"), "a fly rinse needs a vessel to mash in besides the kettle", accepted
    if not any(brewery.kettle in source.vessels for source in brewery.heat_sources):
        accepted = f"add “{brewery.kettle}” to the vessels of a heat source in the brewery file."
        yield ("boil",), f"nothing heats the kettle “{brewery.kettle}”", accepted


def _waters(plan: Plan, brewery: Brewery) -> Iterator[Fault]:
    """Waters that the brewery does not have, and wishes that nothing can be said of without one."""
    liquor = plan.liquor
    for key, _ in liquor.waters:
        if key not in brewery.waters:
            yield ("liquor", "waters", key), *unknown(key, brewery.waters, "water")
    purer = liquor.diluted_with
    if purer is not None and purer not in brewery.waters:
        yield ("liquor", "diluted_with"), *unknown(purer, brewery.waters, "water")
    elif purer is not None and not liquor.waters and purer == brewery.water:
        others = [key for key in brewery.waters if key != purer]
        listed = ", ".join(f"“{key}”" for key in others) or "none yet"
        accepted = f"name a purer one: {listed}; or say in waters which water is drawn."
        yield ("liquor", "diluted_with"), f"“{purer}”, which is the water drawn already", accepted
    if brewery.waters:
        return
    asked: dict[Path, object] = {
        ("aims", "mash_ph"): plan.aims.mash_ph,
        ("liquor", "ions"): liquor.ions,
        ("liquor", "rinse_ions"): liquor.rinse_ions,
        ("liquor", "rinse_alkalinity"): liquor.rinse_alkalinity,
        ("doses",): liquor.doses,
    }
    for path, wish in asked.items():
        if wish not in (None, ()):
            yield path, "asked of a water that the brewery does not tell of", GIVE_A_WATER
