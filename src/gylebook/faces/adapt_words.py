"""Say a beer on two breweries, line by line, and what cannot be matched.

In:  `AdaptView` and the brewer's `Units`.
Out: rows of texts for a table, and sentences, the same in the terminal, on paper and on the page.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.faces import words
from gylebook.faces.findings import RISK
from gylebook.faces.liquor_words import mg
from gylebook.faces.named_numbers import unit_of_name
from gylebook.faces.words import METRIC, Units
from gylebook.figures.draws import Summary
from gylebook.tasks.adapt_findings import MatchFinding
from gylebook.tasks.adapt_view import AdaptView, AmountPair, NumberPair
from gylebook.tasks.parcels import Received

NONE, UNKNOWN = "none", "not known"
SEAL = (
    "The seal is whole: nothing was damaged or changed since it was packed. It does not prove who packed it."
)
ALL_MATCHED = "Nothing: all that makes this beer is matched."
PARTS = {
    "grist": "Grist",
    "liquor": "Liquor",
    "waters": "Of which waters",
    "doses": "Into the liquor",
    "ions": "Which brings the mash liquor to",
    "hops": "Hops",
    "additions": "Sugars and the rest",
    "teas": "Teas",
    "starters": "Starters",
    "yeast": "Yeast",
}
_NUMBERS = {
    "fermenters.volume_l": "Into the fermenters",
    "og": "Original gravity",
    "ibu": "Bitterness",
    "colour_srm": "Colour",
    "mash.ph": "Mash, a cooled sample",
    "efficiency.kettle": "Efficiency, grain to kettle",
    "efficiency.fermenter": "Efficiency, grain to fermenters",
    "kettle.boil_off_l_per_h": "Boil-off",
    "volume_l": "into it",
    "fg": "final gravity",
    "abv": "alcohol",
    "packaged_l": "packaged",
}
_USES = {
    "first wort": "first wort",
    "boil": "boiled {minutes}",
    "stand": "stands {minutes}",
    "dry": "{days} in the fermenter",
    "kettle end": "as the boil ends",
}
_INTO = {
    "mash": "into the mash",
    "held back": "held back",
    "rinse": "into the rinse",
    "kettle": "into the kettle",
}
_LACKS = {
    "rinse vessel": "there is no second vessel to rinse in",
    "tun": "there is no tun",
    "fermenter": "no fermenter is left for it",
}

_PITCH = {"packs": ": packs are opened whole", "starter": ": no starter is made smaller", "": ""}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the comparison: what, there, here, and what of it stays or moves."""

    what: str
    before: str
    after: str
    note: str = ""


def sides(view: AdaptView, units: Units = METRIC) -> tuple[str, str]:
    """How both sides are headed: by their breweries, or on one's own gear by how much there is."""
    if view.whose == view.onto:
        return words.volume(view.before_l, units), words.volume(view.after_l, units)
    return view.whose or "as sent", view.onto


def sizes(view: AdaptView, units: Units = METRIC) -> str:
    """“34.0 L into the fermenters before, 40.0 L after, reached 90 in 100; 68.0 L were wanted.”"""
    before, after = (words.volume(litres, units) for litres in (view.before_l, view.after_l))
    sure = f"reached {words.odds(view.asked_odds)}"
    if before == after == words.volume(view.wanted_l, units):
        return f"{before} into the fermenters on both sides, {sure}."
    wanted = words.volume(view.wanted_l, units)
    short = "" if wanted == after else f"; {wanted} were wanted"
    return f"{before} into the fermenters before, {after} after, {sure}{short}."


def received_sentences(received: Received, units: Units = METRIC) -> list[str]:
    """Whose parcel it is, what was forecast there, and what the seal is worth."""
    before = received.before
    whose = f"from {received.sender}" if received.sender else "from a brewer who gave no name"
    told = [f"{before.asked.name}, {whose}."]
    if received.note:
        told.append(f"They write: “{received.note}”")
    numbers = before.numbers
    there = [
        words.median_and_interval(numbers[name], unit, units)
        for name, unit in (("fermenters.volume_l", "L"), ("og", "SG"), ("ibu", "IBU"))
        if name in numbers
    ]
    if there:
        told.append(f"They forecast {', '.join(there)}.")
    return [*told, SEAL]


def kept_sentence(view: AdaptView, units: Units = METRIC) -> str:
    """What is as it was: the rests and the boil."""
    rests = ", ".join(
        f"{words.temperature(warm, units)} for {words.duration(minutes)}" for warm, minutes in view.rests
    )
    mash = f"mash {rests}; " if rests else ""
    return f"As they were: {mash}boil {words.duration(view.boil_minutes)}."


def amount_lines(view: AdaptView, units: Units = METRIC) -> list[tuple[str, list[Line]]]:
    """Every amount, under the heading of its part."""
    out = []
    for part, heading in PARTS.items():
        lines = [_amount_line(pair, units) for pair in view.amounts if pair.part == part]
        if lines:
            out.append((heading, lines))
    return out


def _amount_line(pair: AmountPair, units: Units) -> Line:
    return Line(
        what=_what(pair),
        before=_measured(pair, pair.before, units),
        after=_measured(pair, pair.after, units),
        note=_per(pair, units),
    )


def _what(pair: AmountPair) -> str:
    if pair.part == "liquor":
        return {"mash": "into the mash", "rinse": "for the rinse", "kettle": "into the kettle"}.get(
            pair.what, "into the kettle as the boil ends"
        )
    if pair.part == "doses":
        return f"{pair.what}, {_INTO.get(pair.use, pair.use)}"
    if pair.part == "yeast":
        return f"{pair.what}, for {pair.use}"
    if pair.part == "hops" or (pair.part == "additions" and pair.use in _USES):
        minutes = pair.minutes or 0.0
        days = "1 day" if minutes == 1 else f"{words.fixed(minutes, 0)} days"
        use = _USES.get(pair.use, pair.use).format(minutes=words.duration(minutes), days=days)
        return f"{pair.what}, {use}"
    return pair.what


def _measured(pair: AmountPair, value: float | None, units: Units) -> str:
    if value is None:
        return UNKNOWN if pair.part == "ions" else NONE
    if pair.part == "ions":
        return mg(value)
    if pair.dimension in ("packs", "slurries"):
        count = words.fixed(value, 0 if value == round(value) else 1)
        return f"{count} pack{'' if value == 1 else 's'}" if pair.dimension == "packs" else f"{count} parts"
    return words.to_measure(value, pair.dimension, units)


def _per(pair: AmountPair, units: Units) -> str:
    """Share, g/L, L/kg or cells of those needed: once where it is the same on both sides."""
    if not pair.per:
        return ""
    told = [
        ""
        if value is None
        else words.share(value)
        if pair.per in ("share", "pitched")
        else words.amount(value, pair.per, units)
        for value in (pair.before_per, pair.after_per)
    ]
    before, after = told
    moved = before if before == after or not after else after if not before else f"{before} → {after}"
    return f"{moved} of its need" if pair.per == "pitched" else moved


def number_lines(view: AdaptView, units: Units = METRIC) -> list[tuple[str, list[Line]]]:
    """Every number of the beer with its interval, the whole first, then what portions have of their own."""
    groups: dict[str, list[Line]] = {"": []}
    for pair in view.numbers:
        line = _number_line(pair, units)
        if line not in groups[""]:  # a portion that is as strong as the wort needs no line for it
            groups.setdefault(pair.portion, []).append(line)
    return [(portion or "The wort", lines) for portion, lines in groups.items()]


def _number_line(pair: NumberPair, units: Units) -> Line:
    last = pair.name.rpartition(".")[2] if pair.portion else pair.name
    what = _NUMBERS.get(last, last)
    return Line(
        what=what[:1].upper() + what[1:],
        before=_told(pair, pair.before, units),
        after=_told(pair, pair.after, units),
    )


def _told(pair: NumberPair, summary: Summary | None, units: Units) -> str:
    if summary is None:
        return NONE if pair.portion else UNKNOWN
    unit = unit_of_name(pair.name)
    if unit == "share":
        return f"{words.share(summary.median)} ({words.share(summary.low)} – {words.share(summary.high)})"
    return words.median_and_interval(summary, unit, units)


def finding_sentence(finding: MatchFinding, units: Units = METRIC) -> str:
    """What cannot be matched, and why."""
    return f"{RISK} {_finding(finding, units)}"


def _finding(finding: MatchFinding, units: Units) -> str:
    of, why = finding.of, _LACKS.get(finding.why, finding.why)
    match finding.kind:
        case "way":
            return f"Instead of a {finding.before} a {finding.after}: {why}."
        case "drain":
            return f"The grain drains in a bag, {finding.after}: {why}, and a bag holds back less wort."
        case "no water":
            return "Ions and mash pH cannot be matched: the brewery tells of no water. Add a report of it."
        case "their water":
            return "Ions are not matched: it is not known in which water this was brewed before."
        case "portion left out":
            return f"{of} is left out, {words.volume(_number(finding.before), units)} of it: {why}."
        case "portion divided":
            count = words.spelled(int(_number(finding.after)))
            return f"{of} goes into {count} fermenters: none that is left holds it whole."
        case "portion smaller":
            before, after = (words.volume(_number(x), units) for x in (finding.before, finding.after))
            return f"{of} is {after} instead of {before}: {finding.why} holds no more with its head room."
        case "aroma":
            return (
                f"{of} cannot keep its grams a litre, as it has to bring the bitterness: its aroma differs."
            )
        case "pitch rate":
            before, after = (words.share(_number(x)) for x in (finding.before, finding.after))
            return f"{of} gets {after} of the yeast that it needs instead of {before}{_PITCH[finding.why]}."
        case "ion":
            return _ion(finding)
        case "ion moved":
            got, was = mg(_number(finding.after)), mg(_number(finding.before))
            named = f"{of[:1].upper()}{of[1:]}"
            return f"{named} comes to {got} instead of {was}: no nearer without too much of another ion."
        case "mash ph":
            got, aim = (words.fixed(_number(x), 2) for x in (finding.after, finding.before))
            return f"The mash comes to pH {got}, not {aim}: nothing at hand brings it nearer."
        case "late hops":
            return _late(finding)
        case "colour":
            before, after = (words.amount(_number(x), "SRM", units) for x in (finding.before, finding.after))
            return f"The colour is {after} instead of {before}, with the same shares of the grist."
        case "thickness":
            before, after = (words.amount(_number(x), "L/kg", units) for x in (finding.before, finding.after))
            return f"The mash is of {after} instead of {before}."
    return f"{finding.kind} {of}".strip()


def _ion(finding: MatchFinding) -> str:
    of = finding.of
    got, wanted = mg(_number(finding.after)), mg(_number(finding.before))
    if finding.why == "lack":
        rest = "no salt at hand brings it without too much of another."
    elif finding.why == "dosed":
        rest = "the acid brings it."
    else:
        share = words.share(finding.others[0] if finding.others else 0.0)
        rest = f"the water holds it already, and {share} of water with nothing in it would bring it down."
    return f"{of[:1].upper()}{of[1:]} comes to {got}, not {wanted}: {rest}"


def _late(finding: MatchFinding) -> str:
    before, after = (words.amount(_number(x), "IBU") for x in (finding.before, finding.after))
    was, now = (words.duration(minutes) for minutes in finding.others)
    cools = f"the wort cools in {now} instead of {was}"
    return f"By the kinetics late hops bring {after} instead of {before}: {cools}."


def _number(value: float | str | None) -> float:
    return float(value or 0.0)
