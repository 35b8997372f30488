"""Say in sentences how a portion is packed, why not, and what to do instead.

In:  a `PackView` and the brewer's `Units`.
Out: plain English, the same on every face; every number inside goes through `words`.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.ferment_words import days
from gylebook.faces.findings import RISK
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.pack_views import KegView, LotView, PackView, WayOut, Why

PSI_PER_BAR = 14.504
USUAL_KEG_BAR = 4.0  # what valves of beer kegs often bear; common practice
MISREAD = 0.9, 1.1  # of what is foretold; beyond that a volume is doubted
FEET_PER_METRE = 3.281
GUSHING = (
    "Fill one bottle of soft plastic with each batch and squeeze it daily: hard within five days, or "
    "rock-hard later, says stop."
)

_WHY: dict[Why, str] = {
    "alive": "what lives in it goes on for months, and gravity has not stood still for as long as that asks",
    "runaway": "gravity fell below what its yeast should reach, so something takes dextrins that are left",
    "stuck": "it seems stuck, and what is left to take could go on in the bottle",
    "not still": "gravity has not yet been seen to stand still for as long as its yeast asks",
    "too much gas": "so much gas at that warmth is more than these bottles should hold",
}
_SUGAR = {
    "sucrose": "table sugar",
    "glucose": "glucose, dry",
    "glucose monohydrate": "glucose monohydrate",
    "dry malt extract": "dry malt extract",
    "fresh wort": "fresh wort",
}


def pressure(bar: float, units: Units = METRIC) -> str:
    """“2.7 bar”, or “39 psi”."""
    if units.volume == "L":
        return f"{words.fixed(bar, 1)} bar"
    return f"{words.fixed(bar * PSI_PER_BAR, 0)} psi"


def gauge(bar: float, units: Units = METRIC) -> str:
    """What to set on a gauge, as finely as one is read: “0.83 bar”, “12 psi”; never below nothing."""
    set_to = max(bar, 0.0)
    return f"{words.fixed(set_to, 2)} bar" if units.volume == "L" else pressure(set_to, units)


def rare(share: float, draws: int) -> str:
    """Odds of something to be feared: “1 in 7”, “3 in 10,000”; none below what the draws can tell."""
    if share <= 1.0 / draws:
        return f"fewer than 1 in {words.count(draws)}"
    if share >= 0.095:
        return words.odds(share)
    return f"1 in {words.count(_round_number(1.0 / share))}"


def accepted(view: PackView) -> str:
    """The odds that are accepted: “1 in 1,000”."""
    return f"1 in {words.count(round(1.0 / view.wanted.accepted))}"


def verdict_sentence(view: PackView, units: Units = METRIC) -> str:
    """Whether it may be bottled, and why not."""
    if not view.bottles:
        return "Nothing goes into bottles, so none can be overcome."
    chance = rare(view.odds, view.draws)
    store = words.temperature(view.wanted.store_c, units)
    if not (view.refused or view.against):
        return (
            f"The odds that any bottle passes its limit at {store} are {chance}; "
            f"{accepted(view)} is accepted."
        )
    no = "No priming sheet" if view.refused else "Against the odds"
    return (
        f"{RISK} {no}: the odds that a bottle passes its limit at {store} are {chance}, "
        f"where {accepted(view)} is accepted, because {_WHY[view.why]}."
    )


def against_sentence(view: PackView) -> str:
    """The brewer's own reason, where it is packed against the odds."""
    return f"{RISK} Packed against the odds, for this reason: {view.against}" if view.against else ""


def way_out_sentence(way: WayOut, view: PackView, units: Units = METRIC) -> str:
    """One thing to do instead, with the odds it leads to."""
    chance = rare(way.odds, view.draws)
    match way.deed:
        case "wait":
            wait = days(max(way.amount, 1.0))
            enough = "" if way.odds <= view.wanted.accepted else f", still more than {accepted(view)}"
            return (
                f"Wait {wait} and read again: if gravity stood still so long, the odds are {chance}{enough}."
            )
        case "less sugar":
            return f"Less sugar: at {volumes(way.amount)} the odds are {chance}."
        case "stronger bottles":
            return f"Stronger bottles: in a {way.kind} the odds are {chance}."
        case "cooler store":
            store = words.temperature(way.amount, units)
            return f"A cooler store: never warmer than {store}, the odds are {chance}."
        case "keg":
            return "A keg instead: within the pressure on its plate, with a relief valve."


def volumes(value: float) -> str:
    """“2.4 volumes of CO₂”."""
    return f"{words.fixed(value, 1)} volumes of CO₂"


def bottles_text(lot: LotView, units: Units = METRIC) -> str:
    """“18 beer bottles of 500 mL”, and how many it may turn out to be."""
    size = words.to_measure(lot.size_l, "volume", units)
    kind = lot.kind if lot.count == 1 else f"{lot.kind}s" if lot.kind.endswith("bottle") else lot.kind
    span = f" (may be {lot.fewest} {words.DASH} {lot.most})" if lot.fewest != lot.most else ""
    return f"{words.count(lot.count)} {kind} of {size}{span}"


def lot_pressure(lot: LotView, units: Units = METRIC) -> str:
    """“3.1 bar (2.6 – 3.7), 999 in 1,000 below 4.2 bar”."""
    low, high = pressure(lot.pressure.low, units), pressure(lot.pressure.high, units)
    around = f"{low.split()[0]} {words.DASH} {high.split()[0]}"
    high = pressure(lot.high_bar, units)
    return f"{pressure(lot.pressure.median, units)} ({around}), 999 in 1,000 below {high}"


def sugar_text(amount: float, view: PackView, units: Units = METRIC) -> str:
    """“128 g of table sugar”, as the scale shows it; “0.62 L of fresh wort”."""
    name = _SUGAR[view.wanted.sugar]
    if view.wanted.sugar == "fresh wort":
        return f"{words.to_measure(amount, 'volume', units)} of {name}"
    digits = 0 if view.wanted.scale_g >= 0.999 else 1 if view.wanted.scale_g >= 0.0999 else 2
    return f"{words.fixed(amount, digits)} g of {name}"


def bulk_sentence(view: PackView, units: Units = METRIC) -> str:
    """What to weigh for all bottles; nothing where a sheet is refused or nothing is primed so."""
    if view.bulk is None or not view.bottles:
        return ""
    if view.bulk <= 0.0:
        return "No sugar: the beer keeps, and will make, as much gas as is wanted."
    all_of_it = sugar_text(view.bulk, view, units)
    if view.wanted.way == "bottle by bottle":
        return f"In all {all_of_it}, weighed for each bottle by itself."
    litres = words.volume(view.bulk_l, units)
    if view.wanted.sugar == "fresh wort":
        return f"{all_of_it}, boiled and cooled, made up with beer to {litres}: stir gently, to the bottom."
    return (
        f"Into {litres} of beer: {all_of_it}. Boil it in a little water, cool it, run the beer onto it and "
        "stir gently, to the bottom."
    )


def each_text(lot: LotView, view: PackView, units: Units = METRIC) -> str:
    """What one bottle gets; nothing where a sheet is refused."""
    if lot.sugar_each is None or view.wanted.way == "in bulk":
        return ""
    return f"{sugar_text(lot.sugar_each, view, units)} in each"


def keg_sentence(keg: KegView, view: PackView, units: Units = METRIC) -> str:
    """How a keg is filled, set, and how long it takes."""
    filled = f"{words.volume(keg.litres, units)} into the keg of {words.capacity(keg.holds_l, units)}"
    mark = f"{RISK} " if keg.high_bar > USUAL_KEG_BAR else ""
    warm = (
        f"{mark}At {words.temperature(view.wanted.store_c, units)} it may stand at "
        f"{pressure(keg.high_bar, units)} (999 in 1,000 stay below): its plate must say more."
    )
    if keg.sugar:
        return f"{filled}, with {sugar_text(keg.sugar, view, units)} for its beer and gas space. {warm}"
    if keg.sugar is None and view.wanted.prime_kegs:
        return f"{filled}. {warm}"
    low, high = (words.fixed(x, 0) for x in keg.still_days)
    return (
        f"{filled}. Set {gauge(keg.serve_bar, units)} at {words.temperature(view.wanted.serve_c, units)} and "
        f"leave it: {low} to {high} days until it is at rest. {warm}"
    )


def line_sentence(keg: KegView, units: Units = METRIC) -> str:
    """Line for a home pour; nothing where the pressure is spent by the lift alone."""
    if keg.line_m <= 0.0:
        return "So little pressure pours without a long line."
    length = (
        f"{words.fixed(keg.line_m, 1)} m"
        if units.volume == "L"
        else f"{words.fixed(keg.line_m * FEET_PER_METRE, 0)} ft"
    )
    return (
        f"Line for 0.3 L in ten seconds, tap half a metre above the keg: about {length} of 4.76 mm (3/16 in) "
        "bore; what it resists goes as flow to the power of 1.75, so a faster pour wants far less."
    )


def counted_sentence(view: PackView, units: Units = METRIC) -> str:
    """From which gravity and warmth it is all counted."""
    left = f"{words.fixed(view.points.median, 1)} ({words.fixed(view.points.low, 1)} {words.DASH} "
    left += f"{words.fixed(view.points.high, 1)})"
    return (
        f"Counted from {words.gravity(view.gravity.median, units)}, read {view.read_at[:10]}, with {left} "
        f"points that may still ferment, and from {volumes(view.residual_volumes)} kept since it was "
        f"{words.temperature(view.warmest_c, units)} warm, under a lock that lets gas out. Beer that stood "
        "under pressure keeps more: it is not to be primed by this."
    )


def rest_sentence(view: PackView, units: Units = METRIC) -> str:
    """Where the rest of the beer goes; a last bottle that is part-filled is not primed."""
    left, lost = words.volume(view.left_l, units), words.volume(view.lost_l, units)
    rest = f"{left} are left over, {lost} stay in hose and dregs."
    empty = len(view.wanted.kegs) - len(view.kegs)
    if empty:
        rest += f" Too little is left for {'a keg' if empty == 1 else f'{words.spelled(empty)} kegs'}."
    if view.bottles and view.left_l > 0.05:
        return f"{rest} A part-filled last bottle is drunk, not primed and kept."
    return rest


def litres_sentence(view: PackView, units: Units = METRIC) -> str:
    """Where far more or less beer was read than there should be: sugar goes by these litres."""
    low, high = MISREAD[0] * view.foretold.low, MISREAD[1] * view.foretold.high
    if low <= view.litres.median <= high:
        return ""
    return (
        f"{RISK} {words.volume(view.litres.median, units)} were read, where "
        f"{words.median_and_interval(view.foretold, 'L', units)} are foretold: measure again."
    )


def yeast_sentence(view: PackView) -> str:
    """Fresh yeast for old beer; nothing for beer that carbonates by itself."""
    if view.yeast_billion is None:
        return ""
    few, many = (words.amount(x, "billion cells") for x in view.yeast_billion)
    return (
        f"This beer is old: give the bottles {few.split()[0]} to {many} of fresh yeast that bears its "
        "alcohol and acid, or they may stay flat."
    )


def coarse_sentence(view: PackView) -> str:
    """Where the scale is too coarse for a bottle's dose."""
    if not view.scale_is_coarse:
        return ""
    return "This scale is too coarse for one bottle: prime in bulk, or dose a syrup by syringe."


def sugar_name(kind: str) -> str:
    """A sugar as it is called in a kitchen."""
    return _SUGAR[kind]


def _round_number(value: float) -> int:
    """Two digits, rounded down: odds are never told as smaller than they are."""
    size = int(10 ** max(len(str(int(value))) - 2, 0))
    return int(max(int(value) // size * size, 1))


def bare_volumes(value: float) -> str:
    """Volumes as they are typed into a form: “2.4”."""
    return words.fixed(value, 1)


def typed_temperature(celsius: float, units: Units = METRIC) -> str:
    """A warmth as it is typed into a form."""
    return words.temperature(celsius, units)


def typed_volume(litres: float, units: Units = METRIC) -> str:
    """A size as it is typed into a form: “0.5 L”, “19 L”, “5.02 gal”."""
    digits = 2 if units.volume != "L" else 3
    shown = litres * words.units_in_one("L", units)
    text = words.fixed(shown, digits).rstrip("0").rstrip(".")
    return f"{text} {units.volume}"
