"""Say how one wort becomes several beers: what each gets, how near it lies, what stands between two.

In:  the views of `tasks.division_views` and the brewer's `Units`.
Out: plain English, the same on every face.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.brewery.wish import Quality, Span, Treatment
from gylebook.faces import words
from gylebook.faces.findings import RISK
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.division_views import (
    Caution,
    ConflictView,
    MadeView,
    NearView,
    OwnView,
    SolutionView,
    UnmadeView,
)

QUALITY_WORDS: dict[Quality, tuple[str, str]] = {
    "og": ("gravity", "SG"),
    "fg": ("final gravity", "SG"),
    "abv": ("alcohol", "%"),
    "ibu": ("bitterness", "IBU"),
    "colour_srm": ("colour", "SRM"),
}
# What tells of a wort how strong, bitter or dark it is.
WORT_SAID: dict[str, Quality] = {"strength": "og", "bitterness": "ibu", "colour": "colour_srm"}
SHORT: dict[Treatment, str] = {
    "dilution": "liquor",
    "sugar": "sugar",
    "hop tea": "a tea of hops",
    "grain tea": "a tea of grain",
    "long ageing": "long ageing",
}
BOILED_APART = "wort boiled apart"
CAUTIONS: dict[Caution, str] = {
    "boiled liquor": "Liquor that goes into a fermenter was boiled, rid of chlorine and cooled under a lid.",
    "hot tea": "A tea scalds, and foams up when it boils: take a pot twice its size, and cool it first.",
    "souring bacteria": "Souring bacteria stay: hoses, taps and buckets of soft plastic are theirs from then "
    "on, and few of them bear more than a little bitterness.",
    "Brettanomyces": "Brettanomyces stays: give it soft plastic of its own, do the clean beers first, and "
    "fill no bottle before the gravity has stood still for months.",
    "bottles": "Bottle no beer that still ferments: two equal readings days apart, sugar weighed for the "
    "beer that is there, and no thin or scratched glass.",
}


def span_text(quality: Quality, span: Span, units: Units = METRIC) -> str:
    """What was wanted: “30 – 50 IBU”, “at least 1.045”."""
    unit = QUALITY_WORDS[quality][1]
    low, high = span
    if low is None and high is None:
        return "any"
    if low is None or high is None:
        edge = words.amount(high if low is None else low, unit, units)  # type: ignore[arg-type]
        return f"at most {edge}" if low is None else f"at least {edge}"
    return f"{words.number(low, unit, units)} {words.DASH} {words.amount(high, unit, units)}"


def range_text(quality: Quality, span: Span, units: Units = METRIC) -> str:
    """The bare numbers, for a column whose heading says the unit: “30–50”, “≥ 30”."""
    unit = QUALITY_WORDS[quality][1]
    low, high = ("" if edge is None else words.number(edge, unit, units) for edge in span)
    if low and high:
        return f"{low}{words.DASH}{high}"
    return f"≥ {low}" if low else f"≤ {high}"


def column_of(quality: Quality, units: Units = METRIC) -> str:
    """“colour, EBC”."""
    name, unit = QUALITY_WORDS[quality]
    word = words.unit_word(unit, units)
    return f"{name}, {word}" if word else name


def value_text(near: NearView, units: Units = METRIC) -> str:
    """“28 IBU”."""
    return words.amount(near.value, QUALITY_WORDS[near.quality][1], units)


def near_text(made: MadeView, units: Units = METRIC) -> str:
    """“inside on all 5”, or “inside on 4 of 5; bitterness 6 IBU over”."""
    of = len(made.near)
    if made.inside == of:
        return f"inside on all {of}" if of > 1 else "inside"
    missed = ", ".join(missed_text(near, units) for near in made.near if near.over != 0.0)
    return f"{RISK} inside on {made.inside} of {of}; {missed}"


def missed_text(near: NearView, units: Units = METRIC) -> str:
    """“bitterness 6 IBU over”, “colour 3 EBC under”; what rounds to nothing lies just outside."""
    name, unit = QUALITY_WORDS[near.quality]
    edge = near.value - near.over
    size = words.within(near.over, edge, unit, units)
    side = "over" if near.over > 0.0 else "under"
    if not size.strip("0."):
        return f"{name} just {side}"
    return f"{name} {size} {words.unit_word(unit, units)} {side}".replace("  ", " ")


def own_sentence(own: OwnView, units: Units = METRIC) -> str:
    """“a tea of 24 g Perle, boiled for 30 min in 0.75 L”."""
    if own.treatment == "long ageing":
        return f"{own.of} afterwards, about {words.count(round(own.amount))} months"
    amount = words.to_measure(own.amount, own.dimension, units)
    water = "" if own.water_l is None else words.to_measure(own.water_l, "volume", units)
    if own.treatment == "dilution":
        return f"{amount} of boiled and cooled liquor"
    if own.treatment == "hop tea":
        boiled = words.duration(own.minutes or 0.0)
        if own.of_wort:
            return f"{water} of its own wort boiled apart for {boiled} with {amount} {own.of}"
        return f"a tea of {amount} {own.of}, boiled for {boiled} in {water}"
    if own.treatment == "grain tea":
        return f"a tea of {amount} {own.of}, steeped {'hot' if own.hot else 'cold'} in {water}"
    return f"{amount} of {own.of}"


def own_text(made: MadeView, units: Units = METRIC) -> str:
    """Everything that a beer gets of its own, in one line."""
    return "; ".join(own_sentence(own, units) for own in made.own) or "nothing"


def packs_text(made: MadeView) -> str:
    """“American ale, clean, 2 packs”, and what comes after it in any case."""
    count = round(made.packs)
    aged = any(own.treatment == "long ageing" for own in made.own)  # told there, with its months
    later = f", afterwards {made.later}" if made.later and not aged else ""
    return f"{made.yeast}, {words.count(count)} pack{'s' if count != 1 else ''}{later}"


def solution_heading(solution: SolutionView, units: Units = METRIC) -> str:
    """“40.2 L from a wort of 1.054 and 31 IBU, three treatments”."""
    volume = words.volume(solution.volume_l.median, units)
    wort = words.gravity(solution.wort_og.median, units)
    ibu = words.amount(solution.wort_ibu.median, "IBU", units)
    count = solution.treatments
    work = f"{words.spelled(count)} treatment{'s' if count != 1 else ''}"
    return f"{volume} from a wort of {wort} and {ibu}, {work}"


ORDINALS = ("first", "second", "third", "fourth")


def work_text(solution: SolutionView) -> str:
    """“Liquor for two, sugar for one”: what tells this solution from the others."""
    counts: dict[str, int] = {}
    for beer in solution.beers:
        for own in beer.own:
            called = BOILED_APART if own.of_wort else SHORT[own.treatment]
            counts[called] = counts.get(called, 0) + 1
    order = (*SHORT.values(), BOILED_APART)
    told = [f"{called} for {words.spelled(counts[called])}" for called in order if called in counts]
    text = ", ".join(told) or "every beer as it comes from the kettle"
    return text[:1].upper() + text[1:]


def wort_text(solution: SolutionView, units: Units = METRIC) -> str:
    """“33.1 L in all, of a wort of 1.054 and 33 IBU: 5.33 kg pale ale malt; 65.8 g Perle.”"""
    volume = words.volume(solution.volume_l.median, units)
    wort = words.gravity(solution.wort_og.median, units)
    ibu = words.amount(solution.wort_ibu.median, "IBU", units)
    weighed = [f"{words.mass(kg, units, weighed=True)} {name}" for name, kg in solution.grist]
    weighed += [f"{words.mass(kg, units, weighed=True)} {variety}" for variety, _, _, kg in solution.hops]
    return f"{volume} in all, of a wort of {wort} and {ibu}: {', '.join(weighed)}."


def figures_text(made: MadeView, units: Units = METRIC) -> str:
    """“1.052 → 1.012, 5.2 %, 28 IBU, 20 EBC”."""
    return ", ".join(
        (
            f"{words.gravity(made.og.median, units)} → {words.gravity(made.fg.median, units)}",
            words.abv(made.abv.median),
            words.amount(made.ibu.median, "IBU", units),
            words.amount(made.colour_srm.median, "SRM", units),
        )
    )


def solution_verdict(solution: SolutionView) -> str:
    """Whether every beer lies where it was wanted, at the middle of the forecast."""
    if solution.served:
        return "At the middle of the forecast every beer lies within all that was asked of it."
    short = [beer.name for beer in solution.beers if beer.inside < len(beer.near)]
    return f"{RISK} Not within all that was asked: {', '.join(short)}."


def odds_text(made: MadeView) -> str:
    """“53 in 100 within all of it at once”."""
    return f"{words.odds(made.odds_all)} within all of it at once"


def conflict_sentence(conflict: ConflictView, units: Units = METRIC) -> str:
    """The same with the mark of a risk before it, for a face that has no other."""
    return f"{RISK} {conflict_text(conflict, units)}"


def conflict_text(conflict: ConflictView, units: Units = METRIC) -> str:
    """What each of two beers wants, how far one wort stays from serving both, and what would bridge it."""
    of_wort = WORT_SAID[conflict.matter]

    def told(quality: Quality, value: float | None) -> str:
        return "any" if value is None else words.amount(value, QUALITY_WORDS[quality][1], units)

    less, more = conflict.less_by, conflict.more_by
    named = "" if less == more else f"{_a(QUALITY_WORDS[more][0])} "
    return (
        f"{conflict.less} wants {_a(QUALITY_WORDS[less][0])} of at most {told(less, conflict.less_wants)}, "
        f"{conflict.more} {named}of at least {told(more, conflict.more_wants)}. With all that they may get, "
        f"the one could come from a wort of {told(of_wort, conflict.at_most)} at most and the other from "
        f"{told(of_wort, conflict.at_least)} at least. {_bridge(conflict, units)}"
    )


def _a(noun: str) -> str:
    return noun if noun == "alcohol" else f"a {noun}"


def unmade_sentence(found: UnmadeView, units: Units = METRIC) -> str:
    """The same as `unmade_text` with the mark of a risk before it."""
    return f"{RISK} {unmade_text(found, units)}"


def unmade_text(found: UnmadeView, units: Units = METRIC) -> str:
    """Which beer no wort serves, in what, and which worts were tried."""
    name, unit = QUALITY_WORDS[WORT_SAID[found.matter]]
    if found.matter == "strength":
        name = "gravity and alcohol"
    least, most = words.number(found.least, unit, units), words.amount(found.most, unit, units)
    return (
        f"No wort of {least} to {most} brings {found.beer} to the {name} that is wanted of "
        f"it, with all that it may get. Allow it more, or want something else of it."
    )


def _bridge(conflict: ConflictView, units: Units) -> str:
    if conflict.amount is None:
        return f"Nothing that {conflict.bridged} could get brings it there: give it a wort of its own."
    room = words.volume(conflict.volume_l, units)
    dimension = "volume" if conflict.bridge == "dilution" else "mass"
    amount = words.to_measure(conflict.amount, dimension, units)
    what = {
        "dilution": f"{amount} of its {room} would have to be liquor",
        "hop tea": f"the rest would have to come from a tea of {amount} of hops in its {room}",
        "grain tea": f"the rest would have to come from {amount} of steeped grain in its {room}",
    }[conflict.bridge]
    return f"For {conflict.bridged} {what}."


CAN_WAIT = (
    "Grain, kettle hops and litres are settled before the day. What a beer gets of its own can still be "
    "changed until its fermenter is filled."
)
NUMBERS_ALONE = (
    "Numbers alone are compared. Whether malt, hops and yeast suit what the name promises is yours to judge."
)


def cautions_of(solutions: Sequence[SolutionView]) -> tuple[str, ...]:
    """Every caution of some solutions, once."""
    found = dict.fromkeys(
        caution for solution in solutions for beer in solution.beers for caution in beer.cautions
    )
    return tuple(CAUTIONS[caution] for caution in found)
