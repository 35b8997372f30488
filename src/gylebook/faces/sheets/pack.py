"""Print the priming sheet of a portion, and the card and labels of one that is packed.

In:  a `PackView` or a `LabelView`, and the brewer's units.
Out: A4 PDFs as bytes, the same for the same view.

Idea: as on the sheet of the day every text is worded here, and the templates, `pack.typ` and `labels.typ`,
only lay it out.  A refused view makes no sheet.
"""

from __future__ import annotations

from typing import Any

from gylebook.errors import Problem, Refused
from gylebook.faces import pack_words, words
from gylebook.faces.findings import DEFERRAL, RISK, caution_sentence
from gylebook.faces.sheets.day import compiled, in_column, plain
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.labels import LabelView
from gylebook.tasks.pack_views import LotView, PackView

MOST_LABELS = 120  # five pages of them


def priming_sheet(view: PackView, units: Units = METRIC) -> bytes:
    """The sheet to prime by.

    Raises Refused, with what to do instead, where the odds are too high and no reason was given.
    """
    if view.refused:
        instead = " ".join(pack_words.way_out_sentence(way, view, units) for way in view.ways_out)
        said = pack_words.verdict_sentence(view, units).removeprefix(f"{RISK} ")
        raise Refused((Problem("priming sheet", said.rstrip("."), f"do this instead: {instead}"),))
    return compiled("pack.typ", sheet_data(view, units))


def label_sheet(view: LabelView, units: Units = METRIC) -> bytes:
    """A card for the cellar, and a label for each bottle."""
    return compiled("labels.typ", label_data(view, units))


def sheet_data(view: PackView, units: Units = METRIC) -> dict[str, Any]:
    """All words of the priming sheet, as its template takes them."""
    return {
        "title": plain(f"{view.name}: to pack"),
        "brew": plain(view.brew),
        "verdict": plain(pack_words.verdict_sentence(view, units)),
        "against": plain(pack_words.against_sentence(view)) if view.against else "",
        "counted": pack_words.counted_sentence(view, units),
        "gas": f"{pack_words.volumes(view.volumes)} are wanted.",
        "bulk": pack_words.bulk_sentence(view, units),
        "lots": [_lot(lot, view, units) for lot in view.lots],
        "kegs": [
            {
                "filled": pack_words.keg_sentence(keg, view, units),
                "line": pack_words.line_sentence(keg, units),
            }
            for keg in view.kegs
        ],
        "rest": pack_words.rest_sentence(view, units),
        "coarse": " ".join(
            said for said in (pack_words.coarse_sentence(view), pack_words.yeast_sentence(view)) if said
        ),
        "doubt": pack_words.litres_sentence(view, units),
        "cautions": [f"{RISK} {plain(caution_sentence(key))}" for key in view.cautions],
        "gauge": pack_words.GUSHING if view.bottles else "",
        "first": "Read the gravity before anything else: it must agree with the last reading.",
        "closing": DEFERRAL,
    }


def label_data(view: LabelView, units: Units = METRIC) -> dict[str, Any]:
    """All words of card and labels."""
    packed = [
        f"{words.count(n)} × {kind}, {words.to_measure(s, 'volume', units)}" for kind, s, n in view.bottles
    ]
    packed += [
        f"keg of {words.capacity(holds, units)} with {words.volume(litres, units)}"
        for holds, litres in view.kegs
    ]
    strength, around = f"{words.abv(view.abv.median)} vol", words.interval(view.abv, "%", units)
    care = "Pour clear of the yeast; keep it upright and cool."
    store = words.temperature(view.store_c, units)
    warm = f"{RISK} Glass under pressure: never warmer than {store}." if view.bottles else ""
    return {
        "title": plain(f"{view.name}: card and labels"),
        "name": in_column(view.name),
        "brew": in_column(view.brew),
        "strength": strength,
        "range": f"{around} % vol in 90 of 100 futures",
        "packed": view.packed_at[:10],
        "best": view.best_from,
        "rows": [
            ["alcohol", f"{strength}, {around} in 90 of 100 futures"],
            ["yeast", in_column(view.yeast)],
            ["packed", view.packed_at[:10]],
            ["best from", view.best_from],
            ["gas", pack_words.volumes(view.volumes)],
            ["in", "; ".join(packed)],
        ],
        "alive": f"{RISK} {caution_sentence('live in glass')}" if view.alive and view.bottles else "",
        "against": plain(f"{RISK} Packed against the odds: {view.against}") if view.against else "",
        "care": care,
        "warm": warm,
        "labels": min(view.count, MOST_LABELS),
    }


def _lot(lot: LotView, view: PackView, units: Units) -> dict[str, str]:
    return {
        "what": in_column(pack_words.bottles_text(lot, units)),
        "each": pack_words.each_text(lot, view, units),
        "pressure": pack_words.lot_pressure(lot, units),
        "limit": pack_words.pressure(lot.limit_bar, units),
        "odds": pack_words.rare(lot.odds, view.draws),
    }
