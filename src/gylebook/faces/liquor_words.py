"""Say what a water report and a treated liquor amount to.

In:  the frozen views of `tasks.liquor_views`.
Out: plain English: whether charges agree and who may be wrong, what a dose is, where the mash lands.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.findings import RISK
from gylebook.tasks.liquor_views import DoseView, IonsView, LiquorView, OutsideView, ReportView, SuspectView

INTO = {
    "mash": "mash liquor",
    "held back": "mash, held back until its pH is read",
    "rinse": "rinse liquor",
    "kettle": "kettle",
}
LACTATE_TASTED_MG = 400.0  # in a litre; tasters still missed it (Troester, second-hand)


def mg(value: float) -> str:
    """“84 mg/L”, “3.2 mg/L”."""
    return f"{words.fixed(value, 0 if value >= 9.95 else 1)} mg/L"


def balance_sentence(report: ReportView) -> str:
    """Whether the charges of a report agree."""
    sides = f"{words.fixed(report.cations, 2)} mEq/L of cations, {words.fixed(report.anions, 2)} of anions"
    if report.verdict == "balanced":
        return f"Its charges agree: {sides}."
    short = "anions" if report.verdict == "anions missing" else "cations"
    off = words.fixed(abs(report.off_percent), 0)
    return f"{RISK} Its charges do not agree: {sides}. By {off} % too few {short} are told."


def suspect_sentence(suspect: SuspectView) -> str:
    """Who may be wrong with it, and what it would have to be."""
    would_be = mg(suspect.would_be_mg_per_l)
    ion, rest = suspect.ion, "" if suspect.closes else " (that alone does not close the gap)"
    told = {
        "missing": f"{ion} may be left out or told too low: {would_be} would close the gap",
        "as element": f"{ion} may be told as {_element(ion)}: it would be {would_be} of {ion}",
        "as bicarbonate": f"alkalinity may be told as bicarbonate: it would be {would_be} as CaCO3",
        "as calcium carbonate": f"bicarbonate may be alkalinity as CaCO3: it would be {would_be} as CaCO3",
        "twice": f"bicarbonate and carbonate may count alkalinity twice: it would be {would_be} as CaCO3",
        "averages": "figures of different days miss by as much; take them as they are, with their scatter",
    }
    return f"{told[suspect.slip]}{rest}."


def _element(ion: str) -> str:
    return "sulphur" if ion == "sulphate" else "nitrogen"


def doubt_sentences(report: ReportView) -> list[str]:
    """What the report leaves to be guessed."""
    out = []
    if "ph" in report.inferred:
        out.append(f"No pH is told; {words.fixed(report.ph, 1)} is taken, which hardly moves a mash.")
    inferred = [ion for ion in report.inferred if ion != "ph"]
    if len(inferred) == 2:
        out.append(
            "Calcium and magnesium are parted from the hardness at 4 to 1, as in many waters: ask for the "
            "calcium itself."
        )
    else:
        out += [f"{ion[:1].upper()}{ion[1:]} is inferred from hardness, not measured." for ion in inferred]
    if "no calcium" in report.doubts:
        out.append(
            "No calcium or hardness is told, so none is taken: salts and mash pH rest on it. Ask for it."
        )
    if "capped" in report.doubts:
        out.append(
            "Carbonate hardness stands at the whole hardness: softened water has more alkalinity than that."
        )
    if "carbonate" in report.doubts:
        out.append("Above pH 8.3 part of the alkalinity is carbonate: ask for the alkalinity itself.")
    if report.chlorine_mg_per_l:
        kind = "chlorine, chloramine among it" if report.chloramine else "chlorine"
        out.append(f"{words.fixed(report.chlorine_mg_per_l, 1)} mg/L of {kind}: a dose takes it out first.")
    return out


def beyond_sentence(ions: IonsView) -> str:
    """Ions beyond what is tasted, or fit; nothing where none is."""
    if not ions.beyond:
        return ""
    told = ", ".join(f"{ion} {mg(ions.mg_per_l[ion].median)}" for ion in ions.beyond)
    return f"{RISK} In the {ions.where} liquor beyond what tastes well, or is fit to drink: {told}."


def into_words(dose: DoseView, liquor: LiquorView) -> str:
    """Where a dose goes; without a mash there is only the kettle."""
    return "kettle liquor" if dose.into == "mash" and liquor.mash_ph is None else INTO[dose.into]


def dose_text(dose: DoseView) -> str:
    """“6.1 g”, “5.7 mL”."""
    return f"{words.fixed(dose.amount, 1)} {dose.unit}"


def mash_ph_sentences(liquor: LiquorView) -> list[str]:
    """Where the mash lands, untreated and treated, and how sure that is."""
    if liquor.mash_ph is None:
        return []
    out = [f"Mash, a cooled sample: {words.median_and_interval(liquor.mash_ph, 'pH')}."]
    if liquor.untreated_ph is not None and liquor.doses:
        out.append(f"With nothing dosed it would be {words.fixed(liquor.untreated_ph.median, 2)}.")
    if liquor.aim_ph is not None and liquor.odds_landed is not None:
        aim = words.fixed(liquor.aim_ph, 2)
        out.append(f"Within 0.1 of {aim} it lands {words.odds(liquor.odds_landed)}.")
    if liquor.first_ph is not None and any(dose.into == "held back" for dose in liquor.doses):
        first = words.fixed(liquor.first_ph.median, 2)
        out.append(f"Read it ten minutes in, near {first}, before the rest goes in.")
    return out


def rinse_sentence(liquor: LiquorView) -> str:
    """What the rinse liquor reads, and what alkalinity is left in it."""
    if liquor.rinse_ph is None:
        return ""
    ph = words.median_and_interval(liquor.rinse_ph, "pH")
    left = words.fixed(liquor.liquors[-1].alkalinity.median, 0)
    if not liquor.rinse_soured:
        return f"Rinse liquor: {ph}, {left} mg/L of alkalinity as CaCO3, no acid in it."
    flat = words.fixed(liquor.rinse_flat_ph or 0.0, 1)
    return (
        f"Rinse liquor: {ph}, {left} mg/L of alkalinity as CaCO3 left. Read a cool sample at once: as CO2 "
        f"leaves it climbs towards {flat}. In very soft liquor trust the dose, not the meter."
    )


def outside_sentences(liquor: LiquorView) -> list[str]:
    """Which ions no dose brings where they were wanted, and what would; mash and rinse together."""
    out = []
    places = liquor.liquors[1:]
    for ion in dict.fromkeys(outside.ion for place in places for outside in place.outside):
        found = [(place, outside) for place in places for outside in place.outside if outside.ion == ion]
        where = " and ".join(place.where for place, _ in found)
        worst = max((outside for _, outside in found), key=lambda outside: abs(outside.got - outside.wanted))
        got = f"{RISK} In the {where} liquor {ion} is {mg(worst.got)} of {mg(worst.wanted)} wanted"
        out.append(f"{got}: {_help(worst)}")
    return out


def _help(outside: OutsideView) -> str:
    if outside.why == "lack":
        return "no salt at hand brings it without too much of another."
    if outside.why == "dosed":
        return "the acid brings it. Take another acid, or dilute the liquor so that it needs less."
    share = words.share(outside.dilution or 0.0)
    return f"no salt takes it out. {share} of water with nothing in it would bring it down: diluted_with."


def lactate_sentence(liquor: LiquorView) -> str:
    """Whether so much lactic acid may be tasted; nothing where not."""
    if liquor.lactate_mg_per_l <= LACTATE_TASTED_MG:
        return ""
    return (
        f"{RISK} {mg(liquor.lactate_mg_per_l)} of lactate in the mash liquor may be tasted: dilute the "
        "liquor with softer water, or take another acid for a part."
    )
