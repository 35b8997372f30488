"""Print a blind test: the key for the one who pours, then the tasters' slips to cut apart.

In:  a `TastingInBook` and the brewer's units.
Out: an A4 PDF as bytes, the same for the same test.

Idea: the key never shares a page with a slip.  As on the other sheets every text is worded here, and the
template, `glass.typ`, only lays it out.
"""

from __future__ import annotations

from typing import Any

from gylebook.faces import tasting_words, words
from gylebook.faces.findings import RISK
from gylebook.faces.sheets.day import compiled, in_column, plain
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.tasting import TastingInBook

LETTERS = "ABCDEF"


def glass_sheet(found: TastingInBook, units: Units = METRIC) -> bytes:
    """The test on paper."""
    return compiled("glass.typ", page_data(found, units))


def page_data(found: TastingInBook, units: Units = METRIC) -> dict[str, Any]:
    """All words of the sheet, as the template takes them."""
    tasting = found.tasting
    names = tasting_words.names_of(tasting)
    question = tasting_words.kind_sentence(tasting.kind, plain(tasting.trait) if tasting.trait else "")
    return {
        "title": plain(tasting_words.title(tasting)),
        "number": f"Tasting {found.number}, {found.at[:10]}",
        "keep": "For the one who pours. No taster may see this page.",
        "needs": tasting_words.needs_sentence(found, units),
        "beers": [
            {"letter": letter, "name": in_column(name)} for letter, name in zip(LETTERS, names, strict=False)
        ],
        "rules": list(tasting_words.HOUSE_RULES),
        "cautions": [f"{RISK} {caution}" for caution in tasting_words.CAUTIONS],
        "sets": [
            {
                "taster": words.count(one.taster),
                "round": words.count(one.round),
                "glasses": [
                    {"code": code, "letter": LETTERS[beer]}
                    for code, beer in zip(one.codes, one.beers, strict=True)
                ],
            }
            for one in tasting.sets
        ],
        "several": tasting.rounds > 1,
        "question": question,
        "how": _how(found),
        "kind": tasting.kind,
        "slip": f"Tasting {found.number}",
    }


def _how(found: TastingInBook) -> str:
    """What to do with the pen."""
    return {
        "triangle": "Taste from left to right, as often as you like. Ring one code; if in doubt, guess.",
        "tetrad": "Taste from left to right, as often as you like. Ring the two codes of one group.",
        "paired": "Taste from left to right, as often as you like. Ring one code; if in doubt, guess.",
        "ranking": "Taste from left to right, as often as you like. Write the codes in order; no ties.",
    }[found.tasting.kind]
