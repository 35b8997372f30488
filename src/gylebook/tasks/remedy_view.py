"""Sum up what can be done, and what readings have changed.

In:  outlooks before and after.
Out: `RemedyView`s ranked by expected loss, and `ChangeView`s for each portion.
"""

from __future__ import annotations

from gylebook.decide.remedies import MASH_PH_DEEDS, Remedy, position, remedies
from gylebook.decide.souring import odds_landed, still_to_sour
from gylebook.decide.targets import odds_to_the_mark
from gylebook.exchange.substances import substance_name
from gylebook.figures.draws import summarise
from gylebook.gyle.forecast import Model
from gylebook.gyle.liquor import mash_phs
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views
from gylebook.tasks.run_view import limit_view
from gylebook.tasks.views import ChangeView, RemedyPortion, RemedyView

__all__ = [
    "MASH_PH_DEEDS",
    "changes",
    "found_remedies",
    "last_step",
    "remedy_told",
    "ways_to_the_mash_ph",
    "what_can_be_done",
]

CHANGING = ("volume_l", "og", "fg", "abv", "ibu", "packaged_l")


def last_step(outlook: Outlook) -> str:
    """The step furthest into the day that has been read; the heating of the liquor before any."""
    steps = [reading.step for reading in outlook.readings]
    return max(steps, key=position, default="heat liquor")


def what_can_be_done(outlook: Outlook) -> tuple[RemedyView, ...]:
    """Every sensible remedy with its forecast, the best first."""
    return tuple(_view(outlook, remedy) for remedy in found_remedies(outlook))


def found_remedies(outlook: Outlook) -> tuple[Remedy, ...]:
    """Every sensible remedy as a changed plan, the best first."""
    doubted = any(view.quantity == "ph" and view.doubtful for view in reading_views(outlook))
    return remedies(
        outlook.plan,
        outlook.brewery,
        outlook.latents,
        outlook.targets,
        last_step(outlook),
        ph_doubted=doubted,
    )


def remedy_told(outlook: Outlook, remedy: Remedy) -> dict[str, str | float]:
    """What a remedy does, in plain values that can be kept and said again later."""
    view = _view(outlook, remedy)
    return {"deed": view.deed, "amount": view.amount, "dimension": view.dimension, "of": view.of}


def ways_to_the_mash_ph(outlook: Outlook) -> tuple[tuple[int, RemedyView], ...]:
    """Leaving the mash pH as planned and finishing it, by their numbers; none once it cannot be moved."""
    if not still_to_sour(outlook.plan, outlook.brewery, last_step(outlook)):
        return ()
    numbered = enumerate(what_can_be_done(outlook), 1)
    return tuple((n, view) for n, view in numbered if view.deed in ("leave it", *MASH_PH_DEEDS))


def _view(outlook: Outlook, remedy: Remedy) -> RemedyView:
    numbers = Model(remedy.plan, outlook.brewery).forecast(outlook.latents)
    varieties = {hop.key: hop.variety for hop in outlook.plan.hops}
    names = {portion.key: portion.name for portion in outlook.plan.portions}
    marked = outlook.plan.aims.volume_l is not None
    of = varieties.get(remedy.of, remedy.of)
    ph = odds_ph = None
    if still_to_sour(remedy.plan, outlook.brewery, last_step(outlook)):
        draws = Model(remedy.plan, outlook.brewery).draw(outlook.latents)
        ph = mash_phs(remedy.plan, outlook.brewery, draws)[0]
        odds_ph = odds_landed(remedy.plan, ph)
    if remedy.deed in MASH_PH_DEEDS and remedy.of:
        of = substance_name(remedy.of)
    if remedy.deed == "move wort":
        giver, taker = remedy.of.split(" to ")
        of = f"{names[giver]} to {names[taker]}"
    return RemedyView(
        deed=remedy.deed,
        amount=remedy.amount,
        dimension=remedy.dimension,
        of=of,
        loss=remedy.loss,
        portions=tuple(
            RemedyPortion(
                key=key,
                name=name,
                volume_l=summarise(numbers[f"portion.{key}.volume_l"]),
                og=summarise(numbers[f"portion.{key}.og"]),
                ibu=summarise(numbers[f"portion.{key}.ibu"]),
                odds_to_the_mark=odds_to_the_mark(outlook.targets[key], numbers, key) if marked else None,
            )
            for key, name in names.items()
        ),
        odds_limits_kept=remedy.odds_kept,
        tightest=limit_view(remedy.tightest, outlook.plan.aims.odds),
        mash_ph=None if ph is None else summarise(ph),
        odds_mash_ph=odds_ph,
    )


def changes(before: Outlook, after: Outlook) -> tuple[ChangeView, ...]:
    """The gyle's and each portion's numbers before and after."""
    names = ["fermenters.volume_l", "og"]
    names += [f"portion.{p.key}.{what}" for p in after.plan.portions for what in CHANGING]
    return tuple(
        ChangeView(name=name, before=before.numbers[name], after=after.numbers[name]) for name in names
    )
