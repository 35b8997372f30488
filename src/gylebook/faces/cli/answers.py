"""Shape what a task answers as JSON.

In:  outlooks and views.  Out: plain dictionaries in base units, keys flat and stable.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import asdict, is_dataclass
from typing import Any

from gylebook.faces import telling
from gylebook.tasks.fixes import FixView
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views, trust_view
from gylebook.tasks.run_view import aim_views, limit_views
from gylebook.tasks.trust import ReadingView, TrustView
from gylebook.tasks.views import AimView, ChangeView, LimitView, RemedyView, WayView, WorthView


def forecast_answer(outlook: Outlook) -> dict[str, Any]:
    """Every named number, the limits, and under “about” how it was reached."""
    answer: dict[str, Any] = {name: asdict(summary) for name, summary in outlook.numbers.items()}
    answer["limits"] = [limit_answer(limit) for limit in limit_views(outlook)]
    answer["about"] = {
        "draws": outlook.latents.shape[0],
        "seed": outlook.seed,
        "aims": [aim_answer(aim) for aim in aim_views(outlook)],
        "readings": reading_answers(outlook),
    }
    return answer


def limit_answer(limit: LimitView) -> dict[str, Any]:
    """One limit; its margin says its unit."""
    return {
        "name": limit.name,
        "vessel": limit.vessel,
        "odds_kept": limit.odds_kept,
        "margin": {**asdict(limit.margin), "unit": limit.unit},
    }


def fixes_answer(fixes: Sequence[FixView] | None) -> dict[str, Any]:
    """What would keep a limit, where that was asked."""
    if fixes is None:
        return {}
    told = [{**asdict(fix), "lost": [limit_answer(limit) for limit in fix.lost]} for fix in fixes]
    return {"fixes": told}


def aim_answer(aim: AimView) -> dict[str, Any]:
    """One aim and its odds."""
    return asdict(aim)


def reading_answers(outlook: Outlook) -> dict[str, Any] | None:
    """How far the readings of a day agree, and by which method they were taken in."""
    return read_answers(reading_views(outlook), trust_view(outlook))


def read_answers(views: Sequence[ReadingView], trust: TrustView | None) -> dict[str, Any] | None:
    """How far readings agree, and by which method they were taken in; nothing where there are none."""
    if trust is None:
        return None
    return {
        **asdict(trust),
        "in_words": telling.trust_sentence(trust),
        "misfits": [_misfit_answer(view) for view in views],
    }


def _misfit_answer(view: ReadingView) -> dict[str, Any]:
    """One reading against the rest."""
    return {
        "step": view.step,
        "quantity": view.quantity,
        "instrument": view.instrument,
        "value": view.value,
        "beyond": view.beyond,
        "from_prior_sd": view.from_prior,
        "from_rest_sd": view.from_rest,
        "expected": view.expected,
        "odds_slip": view.odds_slip,
        "doubtful": view.doubtful,
        "likely_slip": {"kind": view.slip, "meant": view.meant} if view.slip else None,
        "in_words": telling.verdict(view),
    }


def change_answers(changes: Sequence[ChangeView]) -> dict[str, Any]:
    """Before and after, by name."""
    return {c.name: {"before": asdict(c.before), "after": asdict(c.after)} for c in changes}


def remedy_answer(remedy: RemedyView) -> dict[str, Any]:
    """One remedy with what it makes of each portion."""
    return asdict(remedy)


def way_answer(way: WayView) -> dict[str, Any]:
    """One way of making the wort."""
    return {**asdict(way), "tightest": limit_answer(way.tightest)}


def worth_answer(worth: WorthView) -> dict[str, Any]:
    """A reading not yet taken, and by which share it would narrow what."""
    return asdict(worth)


def printed(answer: Any) -> str:
    """JSON text; what is not finite is null, as JSON knows no other way."""
    return json.dumps(_finite(answer), ensure_ascii=False, indent=2, allow_nan=False)


def _finite(part: Any) -> Any:
    if is_dataclass(part) and not isinstance(part, type):
        return _finite(asdict(part))
    if isinstance(part, dict):
        return {key: _finite(value) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [_finite(value) for value in part]
    if isinstance(part, float) and not math.isfinite(part):
        return None
    return part
