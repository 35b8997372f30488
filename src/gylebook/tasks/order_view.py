"""Sum the running order up, each reading with where it is expected to lie.

In:  an `Outlook`.
Out: `OrderView`, and the list of everything to weigh and measure.
"""

from __future__ import annotations

from gylebook.brewery.instruments import READS, Instrument, Quantity, Reading
from gylebook.figures.draws import summarise
from gylebook.gyle.observe import Observable, Place, places, shown
from gylebook.gyle.order import running_order
from gylebook.gyle.steps import Amount, Step
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.step_words import detail_of, title_of
from gylebook.tasks.views import AmountView, OrderView, ReadingAsked, StepView

LIQUOR = ("mash liquor", "rinse liquor", "boiled liquor", "starter wort", "dried malt extract")


def order_view(outlook: Outlook) -> OrderView:
    """The running order of the day."""
    steps = running_order(outlook.plan, outlook.brewery, outlook.figures, outlook.course)
    known = {(p.step, p.quantity): p for p in places(outlook.plan, outlook.brewery)}
    return OrderView(name=outlook.plan.name, steps=tuple(_step(outlook, step, known) for step in steps))


def amounts_to_weigh(order: OrderView) -> tuple[AmountView, ...]:
    """Grain, hops, additions, liquor and starters, each once, in the order of the day."""
    out: dict[str, AmountView] = {}
    for step in order.steps:
        for amount in step.amounts:
            if step.key == "weigh" or amount.what in LIQUOR:
                out.setdefault(f"{amount.what} {amount.note} {amount.amount}", amount)
    return tuple(out.values())


def _step(outlook: Outlook, step: Step, known: dict[tuple[str, Quantity], Place]) -> StepView:
    brewery = outlook.brewery
    fires = {source.key: source.name for source in brewery.heat_sources}
    return StepView(
        key=step.key,
        title=title_of(step),
        start_min=step.start_min,
        minutes=step.minutes,
        detail=detail_of(step),
        amounts=tuple(_amount(amount) for amount in step.amounts),
        reading=tuple(
            _asked(outlook, known[where])
            for where in step.read
            if where in known and _instrument(outlook, where[1])
        ),
        cautions=step.cautions,
        heat_source=fires[step.heat_source] if step.heat_source else None,
        vessel=brewery.vessels[step.vessel].name if step.vessel else None,
    )


def _amount(amount: Amount) -> AmountView:
    return AmountView(what=amount.what, amount=amount.amount, dimension=amount.dimension, note=amount.note)


def _asked(outlook: Outlook, place: Place) -> ReadingAsked:
    """A reading that could be taken, and what the instrument would then show."""
    instrument = _instrument(outlook, place.quantity)
    if instrument is None:
        raise ValueError(f"nothing reads {place.quantity}")
    imagined = Reading(step=place.step, quantity=place.quantity, value=0.0, instrument=instrument.key)
    seen = Observable(
        name="expected",
        reading=imagined,
        place=place,
        instrument=instrument,
        value=0.0,
        error=instrument.error,
    )
    numbers = (
        {**outlook.draws, "mash.ph": outlook.figures["mash.ph"]} if outlook.course.mash else outlook.draws
    )
    expected = summarise(shown(seen, numbers, outlook.figures))
    return ReadingAsked(
        step=place.step, quantity=place.quantity, instrument=instrument.name, expected=expected
    )


def _instrument(outlook: Outlook, quantity: Quantity) -> Instrument | None:
    """The first of the brewery's instruments that reads such a thing."""
    return next((i for i in outlook.brewery.instruments.values() if READS[i.kind] == quantity), None)
