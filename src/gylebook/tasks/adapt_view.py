"""Lay a beer on two breweries side by side, line by line.

In:  `Adapted`.
Out: `AdaptView`: every amount before and after, every number of the beer with both intervals, the limits
     there, and what cannot be matched.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from gylebook.brewery.plan import Plan
from gylebook.exchange.substances import substance_name
from gylebook.figures.draws import Summary
from gylebook.gyle.dosing import is_poured
from gylebook.tasks.adapt import Adapted, mash_ions, names_told, pitched_of
from gylebook.tasks.adapt_findings import MatchFinding, findings_of
from gylebook.tasks.liquor import liquor_view
from gylebook.tasks.run_view import limit_views
from gylebook.tasks.views import LimitView


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountPair:
    """One amount there and here, in base units of `dimension`; None where there is none on that side.

    `part` is grist, liquor, waters, doses, ions, hops, additions, teas, starters or yeast; `use` and
    `minutes` tell where it goes and when.  What stays the same of it is told beside it in `per`: its share,
    g/L, L/kg, or of yeast the cells that are pitched of those needed.
    """

    part: str
    what: str
    dimension: str
    before: float | None
    after: float | None
    use: str = ""
    minutes: float | None = None
    per: str = ""
    before_per: float | None = None
    after_per: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberPair:
    """One number of the beer there and here, by its stable name; `portion` is the name of whose it is."""

    name: str
    portion: str
    before: Summary | None
    after: Summary | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AdaptView:
    """The same beer on two breweries.  `rests` [°C, min] and boil [min] stay as they are.

    `wanted_l` were asked for; `after_l` are what the fermenters there are filled with.
    """

    name: str
    whose: str
    onto: str
    before_l: float
    wanted_l: float
    after_l: float
    draws: int
    asked_odds: float
    rests: tuple[tuple[float, float], ...]
    boil_minutes: float
    amounts: tuple[AmountPair, ...]
    numbers: tuple[NumberPair, ...]
    limits: tuple[LimitView, ...]
    findings: tuple[MatchFinding, ...]

    @property
    def limits_kept(self) -> bool:
        """Whether every limit is kept there with the odds the plan asks for."""
        return all(limit.kept for limit in self.limits)


def adapt_view(adapted: Adapted) -> AdaptView:
    """Both plans side by side."""
    before, outlook = adapted.before, adapted.outlook
    after = outlook.plan
    return AdaptView(
        name=before.asked.name,
        whose=before.whose,
        onto=outlook.brewery.name,
        before_l=before.beer.volume_l,
        wanted_l=adapted.wanted_l,
        after_l=after.aims.volume_l or outlook.numbers["fermenters.volume_l"].median,
        draws=len(outlook.latents),
        asked_odds=after.aims.odds,
        rests=tuple((rest.temperature_c, rest.minutes) for rest in after.mash),
        boil_minutes=after.boil_minutes,
        amounts=tuple(_amounts(adapted)),
        numbers=tuple(_numbers(adapted)),
        limits=limit_views(outlook),
        findings=findings_of(adapted),
    )


def _amounts(adapted: Adapted) -> Iterator[AmountPair]:
    before, after = adapted.before.solved, adapted.outlook.plan
    whole = tuple(sum(grain.mass_kg or 0.0 for grain in plan.grist) or 1.0 for plan in (before, after))
    for old, new in _paired(before.grist, after.grist):
        yield _pair("grist", old, new, "name", "mass", per="share", over=whole)
    yield from _liquor(before, after, whole)
    yield from _waters(before, after)
    yield from _doses(before, after)
    yield from _ions(adapted)
    for old, new in _paired(before.hops, after.hops):
        yield _pair(
            "hops", old, new, "variety", "mass", per="g/L", over=_wort_l(adapted, (old or new).portion or "")
        )
    for old, new in _paired(before.additions, after.additions):
        yield _pair("additions", old, new, "name", "mass", per="g/L", over=_wort_l(adapted, (old or new).at))
    for old, new in _paired(before.grain_teas, after.grain_teas):
        yield _pair("teas", old, new, "name", "mass", per="g/L", over=_wort_l(adapted, (old or new).at))
    for old, new in _paired(before.hop_teas, after.hop_teas):
        yield _pair("teas", old, new, "variety", "mass", per="g/L", over=_wort_l(adapted, (old or new).at))
    for old, new in _paired(before.starters, after.starters):
        yield AmountPair(
            part="starters",
            what=(old or new).key,
            dimension="volume",
            before=None if old is None else old.volume_l,
            after=None if new is None else new.volume_l,
        )
    pitched = {portion.key: portion.pitched for portion in adapted.before.beer.portions}
    pitched_here = pitched_of(adapted.outlook)
    for old, new in _paired(before.portions, after.portions):
        yield AmountPair(
            part="yeast",
            what=(old or new).yeast.kind,
            dimension="slurries" if (old or new).yeast.form == "slurry" else "packs",
            before=None if old is None else old.yeast.packs,
            after=None if new is None else new.yeast.packs,
            use=(old or new).name,
            per="pitched",
            before_per=pitched.get((old or new).key),
            after_per=pitched_here.get((old or new).key),
        )


def _paired(before: Sequence[Any], after: Sequence[Any]) -> list[tuple[Any, Any]]:
    """Things of both plans by their key; None on the side that lacks one."""
    new = {one.key: one for one in after}
    pairs = [(one, new.pop(one.key, None)) for one in before]
    return pairs + [(None, one) for one in new.values()]


def _pair(
    part: str, old: Any, new: Any, name: str, dimension: str, *, per: str, over: tuple[float, ...]
) -> AmountPair:
    either = old if old is not None else new
    masses = tuple(None if one is None else one.mass_kg for one in (old, new))
    times = 1000.0 if per == "g/L" else 1.0
    shares = tuple(
        None if mass is None else times * mass / whole for mass, whole in zip(masses, over, strict=True)
    )
    return AmountPair(
        part=part,
        what=getattr(either, name),
        dimension=dimension,
        before=masses[0],
        after=masses[1],
        use=getattr(either, "use", "") or getattr(either, "at", ""),
        minutes=getattr(either, "minutes", None),
        per=per,
        before_per=shares[0],
        after_per=shares[1],
    )


def _wort_l(adapted: Adapted, place: str) -> tuple[float, float]:
    """Litres on both sides that something goes into: a portion's by its key, else those in the kettle."""
    numbers, beer = adapted.outlook.numbers, adapted.before.beer
    own = next((one for one in beer.portions if one.key == place), None)
    here = numbers.get(f"portion.{place}.volume_l", numbers["kettle.end.volume_l"])
    return beer.kettle_l if own is None else own.volume_l, here.median


def _liquor(before: Plan, after: Plan, whole: tuple[float, ...]) -> Iterator[AmountPair]:
    old, new = before.liquor, after.liquor
    mash = (old.mash_l, new.mash_l)
    thick = tuple(None if litres is None else litres / kg for litres, kg in zip(mash, whole, strict=True))
    yield AmountPair(
        part="liquor",
        what="mash" if before.grist else "kettle",
        dimension="volume",
        before=mash[0],
        after=mash[1],
        per="L/kg" if before.grist else "",
        before_per=thick[0] if before.grist else None,
        after_per=thick[1] if before.grist else None,
    )
    for what, was, now in (
        ("rinse", old.rinse_l, new.rinse_l),
        ("kettle end", old.kettle_l or None, new.kettle_l or None),
    ):
        if was is not None or now is not None:
            yield AmountPair(part="liquor", what=what, dimension="volume", before=was, after=now)


def _waters(before: Plan, after: Plan) -> Iterator[AmountPair]:
    """Waters by their keys, where more than one is drawn."""
    old, new = dict(before.liquor.waters), dict(after.liquor.waters)
    for key in dict.fromkeys((*old, *new)) if max(len(old), len(new)) > 1 else ():
        yield AmountPair(part="waters", what=key, dimension="share", before=old.get(key), after=new.get(key))


def _doses(before: Plan, after: Plan) -> Iterator[AmountPair]:
    """Salts and acids, those of one kind into one place together."""
    sides: list[dict[tuple[str, str], float]] = []
    poured = {}
    for plan in (before, after):
        side: dict[tuple[str, str], float] = {}
        for dose in plan.liquor.doses:
            key = (dose.of, dose.into)
            side[key] = side.get(key, 0.0) + dose.amount / 1000.0
            poured[dose.of] = is_poured(dose)
        sides.append(side)
    for of, into in dict.fromkeys((*sides[0], *sides[1])):
        yield AmountPair(
            part="doses",
            what=substance_name(of),
            dimension="dose volume" if poured[of] else "dose mass",
            before=sides[0].get((of, into)),
            after=sides[1].get((of, into)),
            use=into,
        )


def _ions(adapted: Adapted) -> Iterator[AmountPair]:
    """What the mash liquor comes to."""
    old, new = dict(adapted.before.beer.ions), dict(mash_ions(liquor_view(adapted.outlook)))
    for ion in dict.fromkeys((*old, *new)):
        yield AmountPair(part="ions", what=ion, dimension="mg/L", before=old.get(ion), after=new.get(ion))


def _numbers(adapted: Adapted) -> Iterator[NumberPair]:
    before, here = adapted.before.numbers, adapted.outlook.numbers
    old, new = (
        {portion.key: portion.name for portion in plan.portions}
        for plan in (adapted.before.asked, adapted.outlook.plan)
    )
    told = (*names_told(adapted.before.asked), *names_told(adapted.outlook.plan))
    for name in dict.fromkeys(told):
        if name in before or name in here:
            key = name.split(".")[1] if name.startswith("portion.") else ""
            if key and not (key in old and key in new) and not name.endswith(".volume_l"):
                continue  # of a portion that is on one side alone there is no more to compare
            yield NumberPair(
                name=name, portion=(new | old).get(key, ""), before=before.get(name), after=here.get(name)
            )
