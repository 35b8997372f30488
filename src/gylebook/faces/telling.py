"""Say the shorter things of a day: an amount, a reading asked for, a change, how far to trust a forecast.

In:  the frozen views of `tasks.views` and the brewer's `Units`.
Out: plain English, the same on every face.  Limits, aims and remedies are worded in `findings`.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.findings import RISK, limit_subject
from gylebook.faces.named_numbers import unit_of_name
from gylebook.faces.words import METRIC, Units
from gylebook.figures.draws import Summary
from gylebook.tasks.trust import ReadingView, TrustView
from gylebook.tasks.views import (
    AmountView,
    BeerView,
    BlendView,
    BoundaryView,
    ChangeView,
    LimitView,
    ReadingAsked,
    WayView,
    WorthView,
)

PAYS = "Worth most"  # said of the few readings that tell most about what is still in doubt
READ_IN = {
    "volume": "L",
    "gravity": "SG",
    "temperature": "°C",
    "mass": "kg",
    "time": "min",
    "ph": "pH",
    "count": "bottles",
}


def amount_text(amount: AmountView, units: Units = METRIC) -> str:
    """“4.35 kg”, “34.0 L”, “66 °C”, “36 %”."""
    return words.to_measure(amount.amount, amount.dimension, units)


def amount_note(amount: AmountView) -> str:
    """What stands beside an amount: “boil”, “held back”, “where it reads pH 5.55”."""
    if amount.at_ph is not None:
        return f"where it reads {words.amount(amount.at_ph, 'pH')}"
    return amount.note


def reading_text(quantity: str, value: float, units: Units = METRIC, kind: str = "", beyond: str = "") -> str:
    """A reading in base units, “above 38.0 L”; a gravity is °P inside, and °Bx on a refractometer."""
    if kind == "refractometer":
        shown = words.brix_read(value)
    elif quantity == "gravity":
        shown = words.gravity_read(value, units)
    else:
        shown = words.amount(value, READ_IN[quantity], units)
    return f"{beyond} {shown}".lstrip()


def asked_sentence(asked: ReadingAsked, units: Units = METRIC) -> str:
    """“Read the volume of Keg (dipstick): expected 41.4 – 44.5 L. Worth most.”"""
    quantity = _named(asked.quantity)
    quantity = f"{quantity} of {asked.portion}" if asked.portion else quantity
    pays = f" {PAYS}." if asked.pays else ""
    if asked.expected is None:
        return f"Read the {quantity} ({asked.instrument}).{pays}"
    expected = words.interval_with_unit(asked.expected, READ_IN[asked.quantity], units).removesuffix(" pH")
    return f"Read the {quantity} ({asked.instrument}): expected {expected}.{pays}"


def change_short(change: ChangeView, units: Units = METRIC) -> str:
    """“11.9 → 11.2”, for a column whose heading says the unit."""
    unit = unit_of_name(change.name)
    return " → ".join(words.number(s.median, unit, units) for s in (change.before, change.after))


def colour_text(srm: Summary, units: Units = METRIC) -> str:
    """“24 EBC (18 – 32)”, or SRM where that is read."""
    return words.median_and_interval(srm, "SRM", units)


def residual_text(beer: BeerView | BlendView) -> str:
    """What gas is left in the beer: “0.90 (0.71 – 1.14) volumes of CO2”."""
    low, middle, high = (
        words.fixed(x, 2)
        for x in (beer.residual_volumes.low, beer.residual_volumes.median, beer.residual_volumes.high)
    )
    return f"{middle} ({low} – {high}) volumes of CO2"


def priming_rows(beer: BeerView | BlendView, units: Units = METRIC) -> list[tuple[str, str]]:
    """Sugar a litre and in all, for the gas that the package wants; nothing where none is wanted."""
    if beer.sucrose_g_per_l is None or beer.sucrose_g is None or beer.wanted_volumes is None:
        return []
    each = words.median_and_interval(beer.sucrose_g_per_l, "g/L", units)
    whole = words.mass(beer.sucrose_g.median / 1000.0, units)
    wanted = words.fixed(beer.wanted_volumes, 1)
    return [(f"sucrose to {wanted} volumes", each), ("for all that is packed", whole)]


def clock_text(at: str) -> str:
    """“09:35” from a full moment; anything shorter stays as it was typed."""
    return at[11:16] if len(at) > 16 and at[10] == "T" else at


def boundary_sentence(found: BoundaryView, units: Units = METRIC) -> str:
    """How much the brewery can carry, what stops it, and by how much the wanted volume misses."""
    limit = found.limit
    asked = words.odds(found.asked)
    # A limit's own sentence tells what it lacks at the median, which is less.
    lacks = f"to be {asked} sure, it lacks {words.amount(found.short_by, limit.unit, units)}"
    subject = limit_subject(limit)
    every = "every other limit" if found.others_fail else "every limit"
    if found.volume_l is None:
        return f"{RISK} {subject} is not kept {asked} at any volume of this beer: {lacks}."
    if found.volume_l >= found.wanted_l:
        return (
            f"At this gravity the brewery carries up to {words.volume(found.volume_l, units)} with {every} "
            f"kept {asked}; then {limit_subject(limit)[:1].lower()}{limit_subject(limit)[1:]} stops it."
        )
    return (
        f"{RISK} At this gravity the brewery carries {words.volume(found.volume_l, units)} with {every} "
        f"kept {asked}. {subject} stops it first: at {words.volume(found.wanted_l, units)}, {lacks}."
    )


def help_sentence(limit: LimitView) -> str:
    """What usually helps where a limit is not kept."""
    return _HELP.get(limit.name, "Make less of it, or make it on other gear.")


_HELP = {
    "mash brim": "Move liquor from the mash to the rinse, rinse a smaller mash, or mash twice.",
    "mash thickness": "Move liquor from the rinse to the mash, or make less.",
    "rinse vessel brim": "Move liquor from the rinse to the mash, take a larger vessel, or rinse twice.",
    "bag weight": "Use two bags, or a hoist rated for twice the load; nobody lifts this alone.",
    "foam room": "Hold wort back and feed it in as the level falls, or boil stronger and add liquor later.",
    "kettle brim at the end": "Add less liquor to the kettle, or add it in the fermenters.",
    "heating the liquor": "Start with warm liquor, insulate, or give the kettle more power.",
    "heating the rinse": "Start with warm liquor, or heat it earlier.",
    "heating to the boil": "Keep the lid on to the boil, insulate, boil in two pots, or give it more power.",
    "cooling": "Stir, run more water, stop some degrees above the tap and leave the rest to ice.",
    "head room": "Fit a hose to carry the foam off, fill less, or take a larger vessel.",
    "yeast count": "Enough is 60 % or more of what is needed. Buy another pack, or make a larger starter.",
    "fermentation temperature": "Ferment it where the yeast is at home, or take a yeast for that place.",
}


def gain_sentence(way: WayView, units: Units = METRIC) -> str:
    """What a rinse is worth: “dunk rinse: saves 1.05 kg of malt, or gains 0.006 at the same malt.”"""
    if way.saved_kg is None or way.gained_sg is None:
        return ""
    saved = words.median_and_interval(way.saved_kg, "kg", units)
    low, middle, high = (
        words.fixed(1000.0 * x, 0) for x in (way.gained_sg.low, way.gained_sg.median, way.gained_sg.high)
    )
    return (
        f"{way.kind}: saves {saved} of malt over no rinse, "
        f"or gains {middle} ({low} – {high}) points of gravity from the same malt."
    )


def settled_sentence(view: WorthView) -> str:
    """“The mass at lift settles 94 % of the doubt about the foam room (45 in 100).”, or nothing."""
    first = view.settles[0] if view.settles else None
    if first is None or first.settled < SETTLES:
        return ""
    name = first.name.removeprefix("the ")
    return (
        f"The {_named(view.quantity)} at {view.step} settles {words.share(first.settled)} of the doubt "
        f"about the {name} ({first.place}, {words.odds(first.odds)})."
    )


SETTLES = 0.05  # of a doubt: less is hardly worth saying


def trust_sentence(trust: TrustView) -> str:
    """How the readings were taken in, and what that is worth."""
    worth = f"worth {words.count(round(trust.effective_draws))} of {words.count(trust.draws)} draws"
    if trust.method == "tempered":
        told = f"{RISK} The readings bend the forecast strongly; it was reached the slow way and is {worth}."
    else:
        told = f"The forecast given these readings is {worth}."
    if not trust.converged:
        told += (
            f" {RISK} The search for the likeliest course that they allow did not settle, so how far each "
            "of them agrees is known roughly only."
        )
    return told


def what_was_read(view: ReadingView, units: Units = METRIC) -> str:
    """“volume 40.2 L”, “pH 5.41”."""
    value = reading_text(view.quantity, view.value, units, view.kind, view.beyond)
    return value if view.quantity == "ph" and value.startswith("pH") else f"{_named(view.quantity)} {value}"


def _named(quantity: str) -> str:
    return "pH" if quantity == "ph" else quantity


def verdict(view: ReadingView, units: Units = METRIC) -> str:
    """Whether a reading agrees with the rest, and if not, where it was expected and what likely happened."""
    if not view.doubtful:
        return "agrees"
    expected = reading_text(view.quantity, view.expected, units, view.kind)
    told = f"{RISK} {words.fixed(abs(view.from_rest), 1)} sd from the rest, which says {expected}: check it."
    if view.odds_slip >= LEFT_OUT:
        told += " It is left out of the forecast."
    elif view.odds_slip >= 0.05:
        told += f" It counts in {words.odds(1.0 - view.odds_slip)} of the draws."
    return f"{told} {slip_sentence(view, units)}".rstrip()


def slip_sentence(view: ReadingView, units: Units = METRIC) -> str:
    """What likely happened to a reading that nothing explains; nothing where no guess fits."""
    if view.meant is None:
        return ""
    meant = reading_text(view.quantity, view.meant, units, view.kind)
    sample = "" if view.sample_c is None else words.temperature(view.sample_c, units)
    return _SLIPS[view.slip].format(meant=meant, sample=sample)


LEFT_OUT = 0.95  # odds of a slip above which a reading as good as does not count

_SLIPS = {
    "two digits swapped": "Two digits the other way round? {meant} would fit.",
    "°F for °C": "Was it read in °F? Then it is {meant}, which would fit.",
    "°C for °F": "Was it read in °C? Then it is {meant}, which would fit.",
    "gal for L": "Was it read in gallons? Then it is {meant}, which would fit.",
    "imp gal for L": "Was it read in imperial gallons? Then it is {meant}, which would fit.",
    "L for gal": "Was it read in litres? Then it is {meant}, which would fit.",
    "lb for kg": "Was it read in pounds? Then it is {meant}, which would fit.",
    "kg for lb": "Was it read in kilograms? Then it is {meant}, which would fit.",
    "°Bx for °P": "Was it read on a refractometer? Then it is {meant}, which would fit.",
    "°P for °Bx": "Was it read on a hydrometer? A refractometer would show {meant}, which would fit.",
    "hot for cold": "Was it hot when it was read? At the temperature noted it would be {meant}, which fits.",
    "cold for hot": "Was it reckoned to cold already? The marks would show {meant} hot, which would fit.",
    "warm sample": "Was the sample at about {sample}? Then it is {meant} once cooled, which would fit.",
    "cooled sample": "Had the sample cooled to {sample}? Then it is {meant}, which would fit.",
}
