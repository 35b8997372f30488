"""Say when a portion's next step is due, and what speaks against it.

In:  `CellarPortion`s and `CellarStep`s, the present moment.
Out: plain English, the same on every face.
"""

from __future__ import annotations

from datetime import datetime

from gylebook.faces import words
from gylebook.faces.ferment_words import days
from gylebook.faces.findings import RISK
from gylebook.faces.moments import day_and_clock
from gylebook.tasks.cellar import CellarPortion, CellarStep


def due_text(step: CellarStep, now: str) -> str:
    """“on 2026-04-07, in 3 days”, “was meant for 2026-04-07, 12 days ago”."""
    away = (datetime.fromisoformat(step.at[:10]) - datetime.fromisoformat(now[:10])).days
    if away == 0:
        return "today"
    if away < 0:
        return f"was meant for {step.at[:10]}, {days(-away)} ago"
    return f"on {step.at[:10]}, in {days(away)}"


def early_sentence(step: CellarStep) -> str:
    """Why not to pack yet; nothing where nothing speaks against it."""
    if step.early_days <= 0.0:
        return ""
    wait = "less than a day" if step.early_days < 0.95 else days(step.early_days)
    return f"{RISK} Not yet safe then: by what was read, gravity must stand still for {wait} more."


def wait_sentence(portion: CellarPortion, now: str) -> str:
    """From when on it may be packed, by what was read."""
    if portion.packed_at:
        return f"Packed {portion.packed_at[:10]}."
    if portion.ferment is not None and portion.ferment.verdict == "stuck":
        return f"{RISK} Not to be packed while it is stuck: what is left to take could go on in the package."
    if not portion.safe_at:
        return ""
    day = portion.safe_at[:10]
    if day <= now[:10]:
        return f"It could be packed from {day} on, after one more reading that agrees with the last."
    return f"Not to be packed before {day}, and then only if a reading agrees with the last."


def pitched_sentence(portion: CellarPortion, now: str) -> str:
    """“American ale, clean, pitched 2026-03-14, 16:00: day 5.”"""
    since = datetime.fromisoformat(now) - _aware(portion.pitched, now)
    day = words.fixed(max(since.total_seconds() / 86400.0, 0.0), 0)
    return f"{portion.yeast}, pitched {day_and_clock(portion.pitched)}: day {day}."


def _aware(at: str, now: str) -> datetime:
    """A moment without a zone is taken in the present one's."""
    moment = datetime.fromisoformat(at)
    return moment if moment.tzinfo else moment.replace(tzinfo=datetime.fromisoformat(now).tzinfo)
