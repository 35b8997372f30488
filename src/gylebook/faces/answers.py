"""Shape what a task answers as JSON.

In:  outlooks and views.
Out: plain dictionaries in base units, keys flat and stable: the command line prints them, the page's API
answers with them.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import asdict, is_dataclass
from typing import Any

from gylebook.faces import telling
from gylebook.tasks.brews import Event, Taken
from gylebook.tasks.fixes import FixView
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views, trust_view
from gylebook.tasks.remedy_view import changes, ways_to_the_mash_ph
from gylebook.tasks.run_view import aim_views, boundary_view, limit_views
from gylebook.tasks.solved import amounts_answer
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


def event_answer(event: Event) -> dict[str, Any]:
    """One thing that happened."""
    told = {"number": event.seq, "id": str(event.id), "kind": event.kind, "at": event.at, "who": event.who}
    return {**told, "body": dict(event.body)}


def taken_answer(taken: Taken) -> dict[str, Any]:
    """What was written down, what it changed, and what it calls for."""
    return {
        "event": {"number": taken.event.seq, "id": str(taken.event.id), "kind": taken.event.kind},
        "changes": change_answers(changes(taken.before, taken.after)),
        "mash_ph": [remedy_answer(remedy) for _, remedy in ways_to_the_mash_ph(taken.after)],
        "about": {"readings": reading_answers(taken.after)},
    }


def solved_answer(outlook: Outlook) -> dict[str, Any]:
    """What was left open and is solved now, and how that stands to the aims and limits."""
    return {
        "amounts": amounts_answer(outlook),
        "aims": [aim_answer(aim) for aim in aim_views(outlook)],
        "limits": [limit_answer(limit) for limit in limit_views(outlook)],
        "boundary": boundary_view(outlook),
    }


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
    return json.dumps(finite(answer), ensure_ascii=False, indent=2, allow_nan=False)


def finite(part: Any) -> Any:
    """The same answer of plain dictionaries and lists; what is not finite is nothing."""
    if is_dataclass(part) and not isinstance(part, type):
        return finite(asdict(part))
    if isinstance(part, dict):
        return {key: finite(value) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [finite(value) for value in part]
    if isinstance(part, float) and not math.isfinite(part):
        return None
    return part
