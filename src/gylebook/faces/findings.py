"""Say in a sentence what a forecast found: limits, aims, changes, remedies, cautions.

In:  the frozen views of `tasks.views` and the brewer's `Units`.
Out: plain English, the same on every face.

Idea: a finding has one wording.  Keys such as "foam room" or "add liquor" become words here; every number
inside goes through `words`, so nothing here rounds.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.faces import words
from gylebook.faces.named_numbers import by_name, unit_of_name
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.views import AimView, ChangeView, LimitView, RemedyPortion, RemedyView

RISK = "▲"  # the shape that marks a risk, before a word and before any colour


@dataclass(frozen=True, slots=True)
class _Limit:
    """How one limit is spoken of: beside a vessel, as a subject with its verb, and what lies past it."""

    label: str
    subject: str
    verb: str
    past: str


_LIMITS = {
    "mash brim": _Limit("brim kept", "The brim at the mash {place}", "is kept", "too much"),
    "mash thickness": _Limit("thin enough", "A mash {place} that can still be stirred", "is had", "short"),
    "rinse vessel brim": _Limit("brim kept", "The brim at the rinse {place}", "is kept", "too much"),
    "bag weight": _Limit(
        "light enough", "The wet bag's weight", "stays within what may be lifted", "too heavy"
    ),
    "foam room": _Limit("foam room kept", "Foam room {place}", "is kept", "short"),
    "kettle brim at the end": _Limit("brim kept", "The brim {place} at the end", "is kept", "too much"),
    "heating the liquor": _Limit("heating in time", "Heating the liquor {place}", "ends in time", "too long"),
    "heating to the boil": _Limit(
        "heating in time", "Heating {place} to the boil", "ends in time", "too long"
    ),
    "heating the rinse": _Limit("heating in time", "Heating the rinse {place}", "ends in time", "too long"),
    "cooling": _Limit("cooling in time", "Cooling {place}", "ends in time", "too long"),
    "head room": _Limit("head room kept", "Head room {place}", "is kept", "short"),
    "yeast count": _Limit("yeast enough", "Yeast enough {place}", "is pitched", "short"),
    "fermentation temperature": _Limit(
        "yeast in its range", "The temperature {place}", "suits the yeast", "outside its range"
    ),
}

ENDLESS_MIN = 0.75 * 1440.0  # over the time allowed: the forecast counts a day for what never ends

_CAUTIONS = {
    "scald": "Hot liquor and wort scald: long gloves, closed shoes, and no one else within reach.",
    "lift": "A wet bag is heavy and drips hot: lift with a hoist or by two, and never stand below it.",
    "dunk": "A dropped bag splashes hot: lower it slowly, and keep its weight on the hoist.",
    "scorch": "A bag or thick mash on the bottom scorches: lift it clear, stir, heat gently.",
    "boil over": "Wort boils over as it first foams, and when anything goes in: stay with it, lid off.",
    "acid": "This acid burns skin and eyes: goggles and gloves, acid into liquor and never the reverse, away "
    "from bleach. Read label and dose aloud before you pour; where you can, buy it diluted.",
    "caustic": "Lime burns eyes and skin: goggles and gloves, no dust, and rinse with plenty of water.",
    "heats": "This salt heats what it is put into, and spits: a little at a time into much liquor.",
    "sulphite": "Sulphite powder gives off a gas that bites, more so with acid: do not breathe over it.",
    "coarse scale": "Too little for this scale, and a spoon misses by a third: weigh what mash and rinse get "
    "of it together and part it by their litres, or take a finer scale.",
    "coarse measure": "Too little for this measure: take a finer syringe, or an acid thinned to a tenth.",
    "stock": "Too little for a scale: dissolve one gram in a litre of water, and pour one millilitre of that "
    "for each milligram.",
    "steam": "Steam burns and wets the room: keep face and hands out of it, and let it out of doors.",
    "gas": "A burner belongs outdoors: indoors it makes carbon monoxide, which no one smells.",
    "electric": "Water and mains: dry hands, a residual-current breaker, elements covered before they heat.",
    "coil": "A cold coil makes boiling wort surge: lower it slowly, and stand back.",
    "chill": "The first water out of a chiller scalds: fix its hose, and let it run where no one stands.",
    "carry": "Do not carry hot wort, and lift no full glass: let it run by hose, or lift with two.",
    "co2": "Yeast makes carbon dioxide, which gathers low in a closed room: air it before you go in.",
    "starter": "Glass cracks when hot meets cold, and boils over at once: cool it slowly, never seal it.",
    "pressure": "Pressure in glass injures: weigh the sugar twice, wear goggles, cover the bottles.",
    "live in glass": "What lives in this beer goes on in the bottle: only with gravity that has stood still "
    "for months, thick glass, cold.",
    "live in a blend": "What lives in one part feeds on what the others left: gravity goes on "
    "falling and pressure rising for months, so blend one jar first, and wait.",
    "carbon dioxide": "Carbon dioxide gathers low in a closed room: open it before you go in.",
    "keg": "A keg has its rated pressure on it: stay below, and let it off before you open anything.",
    "dry hop": "Beer that holds gas gushes when hops go in: a little first, and wait.",
    "clean plastics": "What this organism touched stays with it: soft plastics for it alone.",
}

DEFERRAL = (
    "This sheet forecasts and reminds; it does not replace the makers' instructions, local rules "
    "or the licensed trades for gas, mains and pressure, which hold wherever they say more."
)


def limit_label(limit: LimitView) -> str:
    """The few words that stand beside a brim: “foam room kept 91 in 100”."""
    spoken = _LIMITS.get(limit.name)
    label = spoken.label if spoken else f"{limit.name} kept"
    mark = "" if limit.kept else f"{RISK} "
    return f"{mark}{label} {words.odds(limit.odds_kept)}"


def limit_subject(limit: LimitView) -> str:
    """What a limit is about, with its vessel: “Foam room in the kettle”."""
    spoken = _LIMITS.get(limit.name)
    if spoken is None:
        return f"{_capital(limit.name)} {_place(limit.vessel)}".rstrip()
    return " ".join(spoken.subject.format(place=_place(limit.vessel, spoken)).split())


def limit_name(name: str, vessel: str) -> str:
    """The same inside a sentence, from the limit's name and vessel: “foam room in the kettle”."""
    spoken = _LIMITS.get(name)
    place = _place(vessel, spoken)
    told = f"{name} {place}" if spoken is None else spoken.subject.format(place=place)
    return " ".join((told[:1].lower() + told[1:]).split())


def limit_sentence(limit: LimitView, units: Units = METRIC, draws: int | None = None) -> str:
    """“Foam room in the kettle is kept 91 in 100; 0.4 L to spare at the median.”"""
    spoken = _LIMITS.get(limit.name)
    verb, past = (spoken.verb, spoken.past) if spoken else ("is kept", "past it")
    room = words.amount(abs(limit.margin.median), limit.unit, units)
    rest = f"{room} {'to spare' if limit.margin.median >= 0 else past} at the median"
    if _endless(limit):
        rest = "at the median it takes a day or never ends"
    asked = "" if limit.kept else f", less than the {words.odds(limit.asked)} asked for"
    mark = "" if limit.kept else f"{RISK} "
    return f"{mark}{limit_subject(limit)} {verb} {words.odds(limit.odds_kept, draws)}{asked}; {rest}."


def to_spare(limit: LimitView, units: Units = METRIC) -> str:
    """The middling margin, for a column: “1.8 L”, “−2.1 L”, “never done”."""
    return "never done" if _endless(limit) else words.amount(limit.margin.median, limit.unit, units)


def _endless(limit: LimitView) -> bool:
    return limit.unit == "min" and limit.margin.median < -ENDLESS_MIN


def aim_subject(aim: AimView, units: Units = METRIC) -> str:
    """What is aimed at: “34.0 L into the fermenters”, “gravity within 0.003 of 1.052”."""
    wanted = words.amount(aim.aim, aim.unit, units)
    if aim.within is not None:
        return f"{_capital(aim.name)} within {words.within(aim.within, aim.aim, aim.unit, units)} of {wanted}"
    return f"{wanted} into the fermenters" if aim.name == "volume" else f"{_capital(aim.name)} {wanted}"


def aim_sentence(aim: AimView, units: Units = METRIC, draws: int | None = None) -> str:
    """“34.0 L into the fermenters is reached 88 in 100; the forecast is 35.1 L (33.0 – 36.9).”"""
    forecast = words.median_and_interval(aim.forecast, aim.unit, units)
    return f"{aim_subject(aim, units)} is reached {words.odds(aim.odds, draws)}; the forecast is {forecast}."


def change_text(change: ChangeView, units: Units = METRIC) -> str:
    """“11.9 L → 11.2 L (10.8 – 11.7)”, worded by the stable name of what changed."""
    unit = unit_of_name(change.name)
    before = by_name(change.name, change.before.median, units)
    if unit == "share":
        return f"{before} → {words.share(change.after.median)}"
    return f"{before} → {words.median_and_interval(change.after, unit, units)}"


def remedy_sentence(remedy: RemedyView, units: Units = METRIC) -> str:
    """What to do, as one would say it: “Add 2.1 L boiled liquor at the end of the boil”."""
    of = remedy.of.strip()
    if remedy.deed == "leave it":
        return "Leave it" if remedy.mash_ph is None else "Go on as planned"
    if remedy.deed == "read the mash pH again":
        return "Pour nothing yet: stir, check the meter in its buffers, and read a cooled sample again"
    if remedy.deed == "finish the mash pH" and not of:
        return "Leave out what was held back for the mash"
    quantity = words.to_measure(abs(remedy.amount), remedy.dimension, units)
    match remedy.deed:
        case "finish the mash pH":
            return f"Finish the mash with {quantity} {of}, in place of what was held back"
        case "move the mash pH":
            return f"Add {quantity} {of} to the mash"
        case "add liquor":
            where = f"to {of}" if of else "at the end of the boil"
            return f"Add {quantity} boiled liquor {where}"
        case "boil longer":
            return f"Boil {quantity} longer"
        case "boil shorter":
            return f"Stop the boil {quantity} early"
        case "add extract":
            return f"Add {quantity} {of or 'dry malt extract'} and boil it up"
        case "add sugar":
            return f"Add {quantity} {of or 'sugar'}"
        case "change a hop":
            return f"Weigh {quantity} of {of or 'the next hop'} instead"
        case "move wort":
            return f"Move {quantity} wort, {of}" if of else f"Move {quantity} wort between portions"
    return f"{_capital(remedy.deed)} {quantity} {of}".rstrip()


def remedy_outcome(portion: RemedyPortion, units: Units = METRIC) -> str:
    """What a remedy makes of one portion: “Keg: 11.2 L, 1.055, 26 IBU, volume reached 41 in 100”."""
    parts = [
        words.volume(portion.volume_l.median, units),
        words.gravity(portion.og.median, units),
        words.amount(portion.ibu.median, "IBU"),
    ]
    if portion.odds_to_the_mark is not None:
        parts.append(f"volume reached {words.odds(portion.odds_to_the_mark)}")
    return f"{portion.name}: {', '.join(parts)}"


def remedy_ph(remedy: RemedyView) -> str:
    """Where a remedy brings the mash: “mash pH 5.41 (5.33 – 5.50), within 0.1 of its aim 84 in 100”."""
    if remedy.mash_ph is None or remedy.odds_mash_ph is None:
        return ""
    ph = words.median_and_interval(remedy.mash_ph, "pH")
    return f"mash {ph}, within 0.1 of its aim {words.odds(remedy.odds_mash_ph)}"


def remedy_limits(remedy: RemedyView) -> str:
    """How surely all limits ahead are kept then; “▲ limits kept 8 in 100, foam room in the kettle least”."""
    told = f"limits kept {words.odds(remedy.odds_limits_kept)}"
    tightest = remedy.tightest
    if tightest is None or tightest.kept:
        return told
    return f"{RISK} {told}: {limit_name(tightest.name, tightest.vessel)} {words.odds(tightest.odds_kept)}"


def caution_sentence(caution: str) -> str:
    """The usual caution for a key such as "lift"; a caution already in words stays as it is."""
    return _CAUTIONS.get(caution, caution)


def _place(vessel: str, spoken: _Limit | None = None) -> str:
    """“in the kettle” for a common noun, “in Big pot” for a name; portions get their yeast *for* them."""
    if not vessel:
        return ""
    preposition = "for" if spoken and spoken.verb == "is pitched" else "in"
    article = "the " if vessel[:1].islower() and not vessel.startswith(("the ", "a ", "an ")) else ""
    return f"{preposition} {article}{vessel}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
