"""Look ahead at a plan on a brewery, both as texts; nothing is kept."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from fastapi import APIRouter

from gylebook.faces.answers import finite, forecast_answer, limit_answer, solved_answer
from gylebook.faces.web.api.models import Forecast, Limits, Order, Solved, TextsSent
from gylebook.faces.web.api.shelf import AtDesk
from gylebook.faces.web.desk import Desk
from gylebook.tasks.kept import look_ahead_at_texts
from gylebook.tasks.order_view import order_view
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.run_view import boundary_view, limit_views
from gylebook.tasks.solved import solved_text

router = APIRouter(tags=["forecast"])


@router.post("/forecast", response_model=Forecast)
def forecast(desk: AtDesk, sent: TextsSent) -> dict[str, Any]:
    """What comes of the plan; what it leaves open is solved first."""
    return forecast_told(_outlook(desk, sent))


@router.post("/solve", response_model=Solved)
def solve(desk: AtDesk, sent: TextsSent) -> Any:
    """What the plan leaves open: grain, liquor, salts and acid, hops, starters."""
    outlook = _outlook(desk, sent)
    return finite({**solved_answer(outlook), "text": solved_text(outlook)})


@router.post("/limits", response_model=Limits)
def limits(desk: AtDesk, sent: TextsSent) -> Any:
    """What must not be exceeded, how surely it is kept, and the most that can be made."""
    return limits_told(_outlook(desk, sent))


@router.post("/order", response_model=Order)
def order(desk: AtDesk, sent: TextsSent) -> Any:
    """The running order of the day and of what follows it."""
    return finite(asdict(order_view(_outlook(desk, sent))))


def forecast_told(outlook: Outlook) -> dict[str, Any]:
    """As the command line prints it, the named numbers in a place of their own."""
    answer = finite(forecast_answer(outlook))
    about, limits = answer.pop("about"), answer.pop("limits")
    return {"numbers": answer, "limits": limits, "about": about}


def limits_told(outlook: Outlook) -> Any:
    """The limits, and the most that can be made within them."""
    told = [limit_answer(limit) for limit in limit_views(outlook)]
    return finite({"limits": told, "boundary": boundary_view(outlook, above=True)})


def _outlook(desk: Desk, sent: TextsSent) -> Outlook:
    return look_ahead_at_texts(desk.location, sent.plan, sent.brewery, draws=sent.draws, seed=sent.seed)
