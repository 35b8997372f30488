"""Print one beer on two breweries: amounts and numbers side by side, what cannot be matched, the limits.

In:  an `AdaptView` and the brewer's units.
Out: an A4 PDF as bytes, the same for the same view.

Idea: as on the sheet of the day every text is worded here, and the template, `adapt.typ`, only lays it out.
"""

from __future__ import annotations

from typing import Any

from gylebook.faces import adapt_words, words
from gylebook.faces.adapt_words import Line
from gylebook.faces.findings import DEFERRAL, RISK, limit_subject
from gylebook.faces.sheets.day import compiled, in_column, plain
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.adapt_view import AdaptView


def adapt_sheet(view: AdaptView, units: Units = METRIC) -> bytes:
    """Both plans side by side on paper."""
    return compiled("adapt.typ", page_data(view, units))


def page_data(view: AdaptView, units: Units = METRIC) -> dict[str, Any]:
    """All words of the sheet, as the template takes them."""
    before, after = adapt_words.sides(view, units)
    return {
        "title": plain(view.name),
        "between": plain(_between(view)),
        "about": [adapt_words.sizes(view, units), adapt_words.kept_sentence(view, units)],
        "before": in_column(before),
        "after": in_column(after),
        "amounts": _groups(adapt_words.amount_lines(view, units)),
        "numbers": _groups(adapt_words.number_lines(view, units)),
        "findings": [plain(adapt_words.finding_sentence(one, units)) for one in view.findings],
        "matched": adapt_words.ALL_MATCHED,
        "limits": [
            {"what": in_column(f"{RISK} {limit_subject(limit)}"), "odds": words.odds(limit.odds_kept)}
            for limit in sorted(view.limits, key=lambda limit: limit.odds_kept)
            if not limit.kept
        ],
        "kept": _kept(view),
        "draws": f"Forecast of {words.count(view.draws)} draws.",
        "closing": DEFERRAL,
    }


def _kept(view: AdaptView) -> str:
    kept, odds = sum(limit.kept for limit in view.limits), words.odds(view.asked_odds)
    whose = "All" if kept == len(view.limits) else "The other"
    return f"{whose} {words.spelled(kept)} limits are kept at least {odds}."


def _between(view: AdaptView) -> str:
    return view.onto if view.whose == view.onto else f"{view.whose or 'another brewery'} → {view.onto}"


def _groups(found: list[tuple[str, list[Line]]]) -> list[dict[str, Any]]:
    return [
        {
            "part": in_column(part),
            "lines": [
                {"what": in_column(one.what), "before": one.before, "after": one.after, "note": one.note}
                for one in lines
            ],
        }
        for part, lines in found
    ]
