"""Sum the running order up, each reading with where it is expected to lie and whether it pays.

In:  an `Outlook`.
Out: `OrderView`, and the list of everything to weigh and measure.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from gylebook.brewery.instruments import Quantity
from gylebook.exchange.substances import substance_name
from gylebook.figures.draws import summarise
from gylebook.gyle.observe import places
from gylebook.gyle.order import running_order
from gylebook.gyle.steps import Amount, Step
from gylebook.tasks.imagined import imagined_reading, numbers_to_read
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.step_words import detail_of, title_of
from gylebook.tasks.views import AmountView, OrderView, ReadingAsked, StepView
from gylebook.tasks.worth import readings_worth_taking

Where = tuple[str, Quantity]  # of a reading: the step and what is read

# What is measured out although it is not weighed in the morning.
BESIDE = (
    *("mash liquor", "rinse liquor", "kettle liquor", "boiled liquor"),
    *("starter wort", "dried malt extract", "ice"),
)

INTO = {"mash": "mash liquor", "rinse": "rinse liquor"}


def order_view(outlook: Outlook) -> OrderView:
    """The running order of the day."""
    steps = running_order(outlook.plan, outlook.brewery, outlook.figures, outlook.course)
    return OrderView(name=outlook.plan.name, steps=tuple(_steps(outlook, steps)))


def amounts_to_weigh(order: OrderView) -> tuple[AmountView, ...]:
    """Grain, hops, additions, liquor, starters and ice, in the order of the day.

    Liquor that several steps name, as it is heated and as it is poured, is one; two alike hops are two.
    """
    out: list[AmountView] = []
    for step in order.steps:
        for amount in step.amounts:
            if step.key == "weigh" or (amount.what in BESIDE and amount not in out):
                out.append(amount)
    return tuple(out)


def _steps(outlook: Outlook, steps: tuple[Step, ...]) -> Iterator[StepView]:
    brewery, numbers = outlook.brewery, numbers_to_read(outlook)
    names = {f"portion.{portion.key}": portion.name for portion in outlook.plan.portions}
    fires = {source.key: source.name for source in brewery.heat_sources}
    known = {(place.step, place.quantity): place for place in places(outlook.plan, brewery)}
    pay = {(view.step, view.quantity) for view in readings_worth_taking(outlook)}
    for step, wheres in zip(steps, _to_read(steps, pay, known), strict=True):
        asked = []
        for where in wheres:
            imagined = imagined_reading(outlook, known[where], numbers) if where in known else None
            if imagined is not None:
                instrument, shown = imagined
                asked.append(
                    ReadingAsked(
                        step=where[0],
                        quantity=where[1],
                        instrument=instrument.name,
                        expected=summarise(shown),
                        portion=names.get(where[0].removesuffix(" end").removesuffix(" package"), ""),
                        pays=where in pay,
                    )
                )
        yield StepView(
            key=step.key,
            title=title_of(step),
            start_min=step.start_min,
            minutes=step.minutes,
            detail=detail_of(step),
            amounts=tuple(amount_view(amount) for amount in step.amounts),
            reading=tuple(asked),
            cautions=step.cautions,
            heat_source=fires[step.heat_source] if step.heat_source else None,
            vessel=brewery.vessels[step.vessel].name if step.vessel else None,
        )


def _to_read(
    steps: tuple[Step, ...], pay: Collection[tuple[str, str]], known: Iterable[Where]
) -> list[list[Where]]:
    """What is read at each step: all that is asked for there, and what pays beside another of its place."""
    asked = [list(step.read) for step in steps]
    extra = [where for where in known if where in pay and not any(where in wheres for wheres in asked)]
    for where in extra:
        beside = [wheres for wheres in asked if any(step == where[0] for step, _ in wheres)]
        if beside:
            beside[-1].append(where)
    return asked


def amount_view(amount: Amount) -> AmountView:
    """One thing to measure out, by the name it has in a shop."""
    dosed = amount.dimension in ("dose mass", "dose volume")
    what = substance_name(amount.what) if dosed else amount.what
    note = INTO.get(amount.note, amount.note) if dosed else amount.note
    return AmountView(
        what=what, amount=amount.amount, dimension=amount.dimension, note=note, at_ph=amount.at_ph
    )
