"""Say when a portion's next step is due, and what speaks against it.

In:  `CellarPortion`s and `CellarStep`s, the present moment.
Out: plain English, the same on every face.
"""

from __future__ import annotations

from datetime import datetime, timedelta

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


def early_sentence(step: CellarStep, now: str) -> str:
    """Why not to pack yet; nothing where nothing speaks against it, or no more."""
    safe = datetime.fromisoformat(step.at) + timedelta(days=step.early_days)
    if step.early_days <= 0.0 or safe <= _aware(now, step.at):
        return ""
    return f"{RISK} Not yet safe then: by what was read, not before {_day_ahead(safe.isoformat(), now)}."


def wait_sentence(portion: CellarPortion, now: str) -> str:
    """From when on it may be packed, by what was read."""
    if portion.packed_at:
        return f"Packed {portion.packed_at[:10]}."
    if portion.ferment is not None and portion.ferment.verdict == "stuck":
        return f"{RISK} Not to be packed while it is stuck: what is left to take could go on in the package."
    if not portion.safe_at:
        return ""
    read = portion.ferment is not None and portion.ferment.taken
    if portion.safe_at[:10] > now[:10]:
        agree = "a reading agrees with the last" if read else "readings agree"
        return f"Not to be packed before {_day_ahead(portion.safe_at, now)}, and then only if {agree}."
    since = f"It could be packed from {portion.safe_at[:10]} on"
    if not read:
        return f"{since} by what was foretold, but nothing was read: it may be packed once readings agree."
    return f"{since}. Read again now: if it agrees with the last, it may be packed."


def pitched_sentence(portion: CellarPortion, now: str) -> str:
    """“American ale, clean, pitched 2026-03-14, 16:00: day 5.”"""
    since = datetime.fromisoformat(now) - _aware(portion.pitched, now)
    day = words.fixed(max(since.total_seconds() / 86400.0, 0.0), 0)
    return f"{portion.yeast}, pitched {day_and_clock(portion.pitched)}: day {day}."


def _day_ahead(at: str, now: str) -> str:
    """“2026-04-25, in 14 days”; a part of today is today."""
    ahead = (datetime.fromisoformat(at[:10]) - datetime.fromisoformat(now[:10])).days
    return f"{at[:10]}, in {days(ahead)}" if ahead > 0 else "the end of today"


def _aware(at: str, now: str) -> datetime:
    """A moment without a zone is taken in the present one's."""
    moment = datetime.fromisoformat(at)
    return moment if moment.tzinfo else moment.replace(tzinfo=datetime.fromisoformat(now).tzinfo)
