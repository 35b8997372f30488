"""Say what a blind test asks, what it would notice, and what its answers show.

In:  the views of `tasks.tasting`, `tasks.tasting_result` and `tasks.impressions`.
Out: plain English, the same on every face.

Idea: luck and range before any verdict; and what was not shown is never said to be alike.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from gylebook.brewery.tasting import OFF_FLAVOURS, STRENGTHS, Poured, Tasting, TestKind
from gylebook.faces import words
from gylebook.faces.findings import RISK
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.impressions import Impression
from gylebook.tasks.tasting import Answered, TastingInBook
from gylebook.tasks.tasting_result import Interval, Offer, OfTaster, PairOfRanks, Promise, Result

RARE = 0.05
VERY_RARE = 0.01
COMMON = 0.2
FAR = 0.1  # of 1: below it odds are told in 1,000

KIND_NAMES: dict[TestKind, str] = {
    "triangle": "triangle",
    "tetrad": "tetrad",
    "paired": "pair",
    "ranking": "ranking",
}

CAUTIONS = (
    "This is alcohol: who drives or is with child spits out or does not taste. Pour small, offer water.",
    "Ask first who may not have gluten, and say what else went in: fruit, nuts, milk sugar, spices.",
    "Look each glass over for chips, and pour into none that is cracked.",
)

HOUSE_RULES = (
    "Pour where no taster looks, both beers at the same warmth, to the same height, in the same glasses.",
    "If colour, haze or foam tell the beers apart, use dark glasses or dim light.",
    "Bottle against keg: empty both into jugs, clear of the yeast, and pour from the jugs.",
    "No word or face until all slips are in. Water and two minutes between sets.",
    "Who cannot tell must guess: an answer left out is no answer.",
)


def kind_sentence(kind: TestKind, trait: str = "") -> str:
    """What a taster is asked."""
    if kind == "triangle":
        return "Three glasses, two of them alike. Which is the odd one?"
    if kind == "tetrad":
        return "Four glasses, two of each beer. Sort them into two groups of two alike."
    what = f"has more of this: {trait}" if trait else "do you like more"
    if kind == "paired":
        return f"Two glasses. Which {what}?"
    return f"Put the glasses in order: which {what}? The most first."


def offered_as(kind: TestKind) -> str:
    """What a kind of test is good for."""
    return {
        "triangle": "Three glasses, one is odd. Do they differ at all?",
        "tetrad": "Four glasses, two of each beer. The same question; it notices more, if four do not tire.",
        "paired": "Two glasses. Which has more of one thing, or which is liked? Notices most for each glass.",
        "ranking": "Three to six beers in an order.",
    }[kind]


def asked_code(kind: TestKind, beers: int) -> str:
    """What to write of an answer."""
    return {
        "triangle": "code of the odd glass",
        "paired": "code of the glass picked",
        "tetrad": "the two codes of one group",
        "ranking": f"all {words.spelled(beers)} codes, the most first",
    }[kind]


def title(tasting: Tasting) -> str:
    """“Gate amber or Hedge amber: triangle”; the brew stands with each where they are of two brews."""
    names = names_of(tasting)
    joined = " or ".join(names) if len(names) == 2 else f"{', '.join(names[:-1])} or {names[-1]}"
    trait = f", {tasting.trait}" if tasting.trait else ", liking" if tasting.preference else ""
    return f"{joined}: {KIND_NAMES[tasting.kind]}{trait}"


def names_of(tasting: Tasting) -> list[str]:
    """The beers' names, with their brews where those differ."""
    several = len({beer.brew_id for beer in tasting.poured}) > 1
    return [beer_name(beer, with_brew=several) for beer in tasting.poured]


def beer_name(beer: Poured, *, with_brew: bool) -> str:
    """“Gate amber” or “Gate amber (spring)”."""
    return f"{beer.name} ({beer.brew})" if with_brew else beer.name


def needs_sentence(found: TastingInBook, units: Units = METRIC) -> str:
    """Tasters, glasses and beer."""
    tasting = found.tasting
    beer = words.amount(found.beer_ml / 1000.0, "L", units)
    people = "taster" if tasting.tasters == 1 else "tasters"
    return (
        f"{words.spelled(tasting.tasters).capitalize()} {people}, each {times(tasting.rounds)}: "
        f"{found.glasses} glasses of {words.fixed(tasting.glass_ml, 0)} mL, "
        f"{beer} of each beer with what foam takes."
    )


def offer_sentence(offer: Offer, sizes: Iterable[str], units: Units = METRIC) -> str:
    """“Tetrad, each twice: a large difference is noticed 86 in 100, …; 48 glasses, 1.4 L of each beer.”"""
    told = [f"a {size} one {chances(odds)}" for size, odds in zip(sizes, offer.odds, strict=True)]
    beer = words.amount(offer.beer_ml / 1000.0, "L", units)
    return (
        f"{KIND_NAMES[offer.kind].capitalize()}, each {times(offer.rounds)}: notices {', '.join(told)}. "
        f"{offer.glasses} glasses, {beer} of each beer."
    )


def offer_cells(offer: Offer, units: Units = METRIC) -> tuple[str, ...]:
    """The same for a table: “tetrad, twice”, times in 100 for each size, the beer."""
    beer = words.amount(offer.beer_ml / 1000.0, "L", units)
    odds = (words.fixed(min(100.0 * share, 99.0), 0) for share in offer.odds)
    return (f"{KIND_NAMES[offer.kind]}, {times(offer.rounds)}", *odds, beer)


def times(many: int) -> str:
    """“once”, “twice”, “three times”."""
    return {1: "once", 2: "twice"}.get(many, f"{words.spelled(many)} times")


def promise_sentence(found: Promise) -> str:
    """What a first look says: how little so few notice, or how much."""
    once = [offer for offer in found.offers if offer.rounds == 1]
    if not once:
        return ""
    best, whole = once[0], found.offers[0]
    sizes = list(found.pair_named)
    many = f"{words.spelled(found.tasters)} {'taster' if found.tasters == 1 else 'tasters'}"
    seen = [size for size, odds in zip(sizes, best.odds, strict=True) if odds >= 0.8]
    kind = KIND_NAMES[best.kind]
    if not any(best.odds):
        said = f"With {many} who taste once, a {kind} can show nothing: even all right could be luck."
    elif seen:
        said = f"With {many} a {kind}, tasted once, would mostly notice a {seen[0]} difference."
    else:
        said = (
            f"With {many} a {kind}, tasted once, would notice even a large difference only "
            f"{chances(best.odds[-1])}."
        )
    if whole.rounds > 1 and whole.odds[-1] >= best.odds[-1] + 0.05:
        said += f" Have each taste {times(whole.rounds)}: {chances(whole.odds[-1])}."
    return said


def size_sentence(found: Promise) -> str:
    """What small, middling and large mean."""
    told = [
        f"a {size} one {words.odds(share).replace(' in ', ' of ')}"
        for size, share in found.pair_named.items()
    ]
    return (
        "How large: of people who taste both side by side, "
        f"{', '.join(told[:-1])} and {told[-1]} would name the right beer; 50 of 100 do so by luck."
    )


def needed_sentence(found: Promise) -> str:
    """How many answers it takes to notice each size 8 times in 10."""
    told = []
    for kind, sizes in found.needed.items():
        counts = [
            f"{'more than 120' if many is None else many} for a {size} one" for size, many in sizes.items()
        ]
        told.append(f"{KIND_NAMES[kind]}: {', '.join(counts)}")
    return f"Answers it takes to notice a difference 8 times in 10: {'; '.join(told)}."


def chances(share: float) -> str:
    """“33 in 100”; nothing is certain, and what cannot be is “never”."""
    return "never" if share == 0.0 else words.odds(min(share, 1.0))


def luck_text(luck: float) -> str:
    """How often luck does it: “19 times in 1,000”, “38 times in 100”."""
    if luck < 0.0005:
        return "less than once in 1,000"
    if luck > 0.995:
        return "nearly always"
    many, of = (round(1000 * luck), "1,000") if luck < FAR else (round(100 * luck), "100")
    return f"{'once' if many == 1 else f'{many} times'} in {of}"


def count_sentence(found: TastingInBook, result: Result) -> str:
    """“8 of 12 picked the odd one; by luck alone 4 would. Such luck comes 19 times in 1,000.”"""
    did = {
        "triangle": "picked the odd one",
        "tetrad": "sorted them rightly",
        "paired": "",
        "ranking": "",
    }[result.kind]
    if result.kind == "ranking":
        names = names_of(found.tasting)
        order = ", ".join(f"{names[beer]} {result.sums[beer]}" for beer in _by_sum(result))
        how = "" if result.exact else ", nearly"
        return (
            f"Rank sums, the most first: {order}. Luck alone parts them so far or farther{how} "
            f"{luck_text(result.luck)}."
        )
    if result.kind == "paired" and result.named is not None:
        name = names_of(found.tasting)[result.named]
        did = f"liked {name} more" if found.tasting.preference else f"named {name}"
    by_luck = words.fixed(result.by_luck, 0 if result.by_luck == int(result.by_luck) else 1)
    either = " for one or the other" if result.either_way else ""
    return (
        f"{result.right} of {result.answers} {did}; by luck alone {by_luck} would. "
        f"So many or more{either} by luck: {luck_text(result.luck)}."
    )


def verdict_sentence(found: TastingInBook, result: Result) -> str:
    """What may be made of that, and what not."""
    what = "a preference" if found.tasting.preference else "a difference"
    if result.luck < VERY_RARE:
        return f"That is hardly luck: {what} was found."
    if result.luck < RARE:
        return f"That is more than luck usually gives: {what} was likely found."
    said = "That is a hint and no more." if result.luck < COMMON else "Luck does as much."
    if not result.noticed:
        return f"{said} It does not show that the beers are alike."
    large = result.noticed["large"]
    return (
        f"{said} It does not show that the beers are alike: a large difference shows in so few answers "
        f"{chances(large)}."
    )


def distance_sentence(result: Result) -> str:
    """“Distance d′ 2.3 (0.8 – 3.8).”"""
    if result.distance is None:
        return ""
    return (
        f"Distance d′ {interval_text(result.distance)}, in standard deviations of what one taster perceives."
    )


def able_sentence(result: Result) -> str:
    """How many can tell, beyond guessing."""
    if result.able is None:
        return ""
    low, middle, high = (words.fixed(100.0 * part, 0) for part in result.able)
    return f"Of 100 such tasters about {middle} truly tell ({low} {words.DASH} {high}); the others guess."


def interval_text(found: Interval) -> str:
    """“2.3 (0.8 – 3.8)”, “at least 3.0” where all were right."""
    low, middle, high = found
    if not math.isfinite(middle):
        return f"at least {words.fixed(low, 1)}"
    top = f"{words.DASH} {words.fixed(high, 1)}" if math.isfinite(high) else "and more"
    return f"{words.fixed(middle, 1)} ({words.fixed(low, 1)} {top})"


def pair_sentence(found: TastingInBook, pair: PairOfRanks) -> str:
    """“Gate amber before Hedge amber by 9: luck parts two so far 4 times in 100.”"""
    names = names_of(found.tasting)
    return (
        f"{names[pair.more]} before {names[pair.less]} by {pair.apart}: luck parts two given beers so far "
        f"{luck_text(pair.luck)}."
    )


def result_sentences(found: TastingInBook, result: Result) -> list[str]:
    """All that a result says, in the order in which it should be read."""
    told = [count_sentence(found, result), verdict_sentence(found, result)]
    told += [pair_sentence(found, pair) for pair in result.pairs]
    told += [distance_sentence(result), able_sentence(result), *beside_sentences(found, result)]
    return [sentence for sentence in told if sentence]


def beside_sentences(found: TastingInBook, result: Result) -> list[str]:
    """What to bear in mind with such a result."""
    told = []
    if result.early:
        told.append(
            f"{RISK} {result.missing} of {len(found.tasting.sets)} sets are unanswered. Who counts before "
            "the end finds differences that are not there: decide when all are in."
        )
    if found.tasting.rounds > 1:
        told.append(
            "Answers of one taster are alike by "
            f"{words.fixed(100.0 * result.alike, 0)} in 100, and count for less in the range accordingly."
        )
    brews = {beer.brew_id for beer in found.tasting.poured}
    if len(brews) == 1 and result.luck < RARE:
        told.append(
            "It was found between these fermenters. That the yeast or the package made it is shown by "
            "parting another wort the same way."
        )
    return told


def taster_sentence(one: OfTaster) -> str:
    """“Ada: 3 of 4”."""
    return f"{one.who or f'taster {one.taster}'}: {one.right} of {one.answers}"


def progress_sentence(found: TastingInBook) -> str:
    """How many answers are in."""
    many, of = len(found.answers), len(found.tasting.sets)
    return f"All {of} answers are in." if many == of else f"{many} of {of} answers are in."


def answer_text(one: Answered) -> str:
    """“381, rather sure”, “381 (a guess)”."""
    sure = {0: "", 1: ", a guess", 2: ", rather sure", 3: ", certain"}[one.answer.sure]
    return f"{' '.join(one.answer.picked)}{sure}"


def impression_lines(one: Impression) -> list[str]:
    """The words, then what was rated, then off-flavours."""
    rated = [f"{trait} {STRENGTHS[strength]}" for trait, strength in one.traits.items()]
    off = [f"{name} ({OFF_FLAVOURS[name]})" for name in one.off_flavours if name in OFF_FLAVOURS]
    lines = [one.words] if one.words else []
    lines += [f"{', '.join(rated).capitalize()}."] if rated else []
    lines += [f"Off-flavours: {'; '.join(off)}."] if off else []
    return lines


def _by_sum(result: Result) -> list[int]:
    return sorted(range(len(result.sums)), key=lambda beer: (result.sums[beer], beer))
