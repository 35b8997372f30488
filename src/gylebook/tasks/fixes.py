"""Say what would keep a limit that a plan does not keep.

In:  an `Outlook` before anything was read, a limit by its name, and the portion where it is one's own.
Out: `FixView`s, with the fields of the plan's file that each would change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gylebook.brewery.plan import Plan, Portion
from gylebook.decide.fix_deeds import DeedName
from gylebook.decide.fixes import Fix, fixes
from gylebook.errors import Problem, Refused
from gylebook.exchange.toml_lines import decimal
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.run_view import limit_view
from gylebook.tasks.views import LimitView


@dataclass(frozen=True, slots=True, kw_only=True)
class FixView:
    """A change that keeps a limit.

    `amount` is what the changed thing then is, in base units of `dimension`; `of` the vessel, the portion's
    name, the fire or the way.  `fields` are the fields of the plan's file that it changes, none where it
    changes the gear; `lost` are limits that were kept before and are not then.
    """

    deed: DeedName
    of: str
    amount: float
    dimension: str
    odds_kept: float
    lost: tuple[LimitView, ...]
    fields: Mapping[str, str]


def ways_to_keep(outlook: Outlook, name: str, portion: str | None = None) -> tuple[FixView, ...]:
    """The least change of each kind that keeps the limit with the asked odds; none where nothing helps."""
    known = [(limit.name, limit.portion) for limit in outlook.limits]
    if (name, portion) not in known:
        listed = ", ".join(f"{a} of {b}" if b else a for a, b in known)
        raise Refused((Problem("limit", f"“{name}”", f"the limits of this plan are {listed}"),))
    found = fixes(outlook.asked, outlook.brewery, outlook.prior, name, portion)
    return tuple(_view(outlook, fix) for fix in found)


def _view(outlook: Outlook, fix: Fix) -> FixView:
    names = {portion.key: portion.name for portion in outlook.plan.portions}
    return FixView(
        deed=fix.deed,
        of=names.get(fix.of, fix.of),
        amount=fix.amount,
        dimension=fix.dimension,
        odds_kept=fix.odds_kept,
        lost=tuple(limit_view(limit, outlook.plan.aims.odds) for limit in fix.lost),
        fields=_fields(outlook.asked, fix.plan),
    )


def _fields(before: Plan, after: Plan) -> dict[str, str]:
    """What differs, as it would be typed."""
    told = {
        "aims.fermenters": (before.aims.volume_l, after.aims.volume_l, "L"),
        "liquor.kettle": (before.liquor.kettle_l, after.liquor.kettle_l, "L"),
        "chill.to": (before.chill_c, after.chill_c, "°C"),
    }
    for old, new in zip(before.portions, after.portions, strict=True):
        told |= _portion_fields(old, new)
    out = {
        path: f"{decimal(new)} {unit}".rstrip()
        for path, (old_value, new, unit) in told.items()
        if new is not None and new != old_value
    }
    if after.process.kind != before.process.kind:
        out["process.kind"] = after.process.kind
    return out


def _portion_fields(old: Portion, new: Portion) -> dict[str, tuple[float | None, float | None, str]]:
    at = f"portions.{old.key}"
    return {
        f"{at}.share": (_percent(old.share), _percent(new.share), "%"),
        f"{at}.top_up": (old.top_up_l, new.top_up_l, "L"),
        f"{at}.ferment_at": (old.ferment_c, new.ferment_c, "°C"),
        f"{at}.yeast.packs": (old.yeast.packs, new.yeast.packs, ""),
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else round(100.0 * share, 1)
