"""Say of each reading how it stands to the rest, and of all of them how they were taken in.

In:  an `Outlook` given readings.
Out: `ReadingView`s in the order read, and a `TrustView`; the same for every face.
"""

from __future__ import annotations

import numpy as np

from gylebook.brewery.instruments import Reading
from gylebook.gyle.observe import Observable, Place, observables, places
from gylebook.infer.condition import Diagnostic, Misfit
from gylebook.matter.extract import plato_from_sg
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.slips import SCALE, likely_slip
from gylebook.tasks.trust import ReadingView, TrustView


def reading_views(outlook: Outlook) -> tuple[ReadingView, ...]:
    """Every reading against what the others say; none where none was taken."""
    if outlook.diagnostic is None:
        return ()
    pairs = zip(outlook.readings, outlook.diagnostic.misfits, strict=True)
    return tuple(_view(outlook, reading, misfit) for reading, misfit in pairs)


def trust_view(outlook: Outlook) -> TrustView | None:
    """How the readings were taken in; None where there were none."""
    found = outlook.diagnostic
    return None if found is None else trust_of(found, len(outlook.latents))


def trust_of(found: Diagnostic, draws: int) -> TrustView:
    """How far such a posterior of so many draws can be trusted."""
    return TrustView(
        method=found.method,
        pareto_k=found.pareto_k,
        trusted_below=found.trusted_below,
        effective_draws=found.effective_draws,
        draws=draws,
        converged=found.converged,
        folded=found.folded,
    )


def _view(outlook: Outlook, reading: Reading, misfit: Misfit) -> ReadingView:
    (seen,) = observables([reading], outlook.plan, outlook.brewery)
    return view_of(seen, misfit, hot_c=_heat(outlook, seen.place), wort_plato=_wort(outlook, seen))


def view_of(seen: Observable, misfit: Misfit, *, hot_c: float, wort_plato: float) -> ReadingView:
    """One reading against the rest; `hot_c` is how hot its liquid stands, `wort_plato` how strong it is."""
    reading, instrument = seen.reading, seen.instrument
    slip = likely_slip(seen, misfit.expected, misfit.spread, hot_c=hot_c, wort_plato=wort_plato)
    hydrometer = instrument.kind == "hydrometer"
    return ReadingView(
        step=reading.step,
        quantity=reading.quantity,
        value=reading.value,
        beyond=reading.beyond,
        at=reading.at,
        instrument=instrument.key,
        kind=instrument.kind,
        from_prior=misfit.from_prior,
        from_rest=misfit.from_rest,
        expected=float(plato_from_sg(np.clip(misfit.expected, *SCALE))) if hydrometer else misfit.expected,
        odds_slip=misfit.slip,
        slip=slip.kind if slip else "",
        meant=slip.meant if slip else None,
        sample_c=slip.sample_c if slip else None,
    )


def _heat(outlook: Outlook, place: Place) -> float:
    """How hot the liquid stands at that step, as the level of it is read. [°C]"""
    levels = places(outlook.plan, outlook.brewery)
    return next((p.usual_c for p in levels if (p.step, p.quantity) == (place.step, "volume")), 20.0)


def _wort(outlook: Outlook, seen: Observable) -> float:
    """Strength of the wort read, or of the one that the beer came from, by the forecast. [°P]"""
    name = seen.place.original or seen.place.strength
    if name is None or name not in outlook.numbers:
        return 0.0
    return float(plato_from_sg(outlook.numbers[name].median))
