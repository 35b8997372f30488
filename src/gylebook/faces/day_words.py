"""Speak of a brew day on the clock: steps, hours, what is to be read and how.

In:  the views of `tasks.day` and `tasks.day_log`, the brewer's `Units`.
Out: plain English; the unit in which a bare number is taken.
"""

from __future__ import annotations

from datetime import datetime

from gylebook.brewery.instruments import InstrumentKind
from gylebook.faces import findings, telling, words
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.day import DayReading, DayStep, ReadOn
from gylebook.tasks.day_log import LogEntry
from gylebook.tasks.views import StepView

A_MINUTE, AN_HOUR = 60, 3600

_READINGS = {
    ("mash", "temperature"): "Temperature of the mash",
    ("mash", "ph"): "pH of the mash",
    ("mash", "gravity"): "Gravity in the mash",
    ("mash", "volume"): "Level of the mash",
    ("mash end", "ph"): "pH of the mash, once more",
    ("lift", "mass"): "Weight of the drained bag",
    ("rinse", "gravity"): "Gravity in the rinse",
    ("rinse", "mass"): "Weight of the rinsed bag",
    ("rinse", "volume"): "Level of the rinse",
    ("heat liquor", "time"): "Minutes the liquor took",
    ("heat to boil", "time"): "Minutes to the boil",
    ("preboil", "volume"): "Level before the boil",
    ("preboil", "gravity"): "Gravity before the boil",
    ("boil end", "volume"): "Level at the end of the boil",
    ("boil end", "gravity"): "Gravity at the end of the boil",
    ("chill", "time"): "Minutes of chilling",
    ("fermenters", "volume"): "Volume into the fermenters",
    ("fermenters", "gravity"): "Gravity into the fermenters",
}

_HOW: dict[InstrumentKind, str] = {
    "dipstick": "Stand it upright on the bottom, with the liquid at rest; read where it wets the marks.",
    "hydrometer": "Cool the sample close to what the hydrometer is made for, spin the glass to free it of "
    "bubbles, and read at eye level where the flat of the liquid cuts the scale. Note how warm it was.",
    "refractometer": "Stir, put a few drops on the prism, close the lid, and wait half a minute.",
    "thermometer": "Stir first, hold it in the middle, and wait until it stands still.",
    "ph meter": "Cool the sample to the room, rinse the probe, and wait until the number stands still. "
    "Say so below if it was read hot.",
    "scale": "Let it hang or stand still, take off what hoist or vessel weighs by itself.",
    "clock": "From lighting to arriving, in minutes.",
    "tally": "Count what was filled.",
}

_TYPED_IN = {"time": "min", "count": "bottles", "ph": "pH"}


def reading_title(one: DayReading) -> str:
    """What is read: “Level before the boil”, “Volume of Gate amber”."""
    known = _READINGS.get((one.step, one.quantity))
    if known:
        return known
    quantity = "pH" if one.quantity == "ph" else one.quantity
    return f"{quantity[:1].upper() if quantity != 'pH' else 'p'}{quantity[1:]} of {one.portion or one.step}"


def how_it_is_read(on: ReadOn) -> str:
    """How to take a reading on such an instrument."""
    return _HOW[on.kind]


def typed_unit(quantity: str, kind: str, units: Units = METRIC) -> str:
    """The unit in which a bare number is taken: the one that is shown, “SG” where none is."""
    if kind == "refractometer":
        return "°Bx"
    if quantity in _TYPED_IN:
        return _TYPED_IN[quantity]
    by_quantity = {
        "gravity": units.gravity,
        "volume": units.volume,
        "temperature": units.temperature,
        "mass": units.mass,
    }
    return by_quantity[quantity]


def shown_unit(quantity: str, kind: str, units: Units = METRIC) -> str:
    """The unit that stands beside the field; nothing where a number is told by itself, as 1.050 is."""
    unit = typed_unit(quantity, kind, units)
    return "" if unit in ("SG", "pH") else unit


def expected_text(on: ReadOn, quantity: str, units: Units = METRIC) -> str:
    """Where nine readings of ten are expected, as that instrument shows it."""
    unit = "°Bx" if on.kind == "refractometer" else telling.READ_IN[quantity]
    return words.interval(on.expected, unit, units)


def taken_text(entry: LogEntry, units: Units = METRIC) -> str:
    """The value that was written down: “40.2 L”, “above 38.0 L”."""
    assert entry.reading is not None
    read = entry.reading
    return telling.reading_text(read.quantity, read.value, units, entry.instrument_kind, read.beyond)


def entry_sentence(entry: LogEntry, units: Units = METRIC) -> str:
    """One thing that happened: “Boil begun”, “Add 2.1 L boiled liquor at the end of the boil”."""
    if entry.reading is not None:
        read = entry.reading
        asked = DayReading(
            step=read.step, quantity=read.quantity, portion=entry.portion, pays=False, hot=False, on=()
        )
        sample = "" if read.temperature_c is None else f" at {words.temperature(read.temperature_c, units)}"
        return f"{reading_title(asked)}: {taken_text(entry, units)}{sample} ({entry.instrument})"
    if entry.remedy is not None:
        return f"Plan changed: {findings.remedy_sentence(entry.remedy, units)}"
    if entry.kind == "plan changed":
        return f"Plan changed after {entry.after_step}"
    return f"{step_words(entry.step, units)} begun" if entry.step is not None else "The day ended"


def step_words(step: StepView, units: Units = METRIC) -> str:
    """A step in a few words: its title, and for what goes into the boil also what goes in."""
    if step.key != "add to the boil":
        return step.title
    what = ", ".join(f"{telling.amount_text(one, units)} {one.what}" for one in step.amounts)
    return f"{step.title}: {what}"


def countdown(seconds: float) -> str:
    """“38:12”, “1:05:09”; a whole day and more in days.

    >>> countdown(2292), countdown(3909), countdown(200_000)
    ('38:12', '1:05:09', '2 days')
    """
    whole = max(int(seconds), 0)
    if whole >= 48 * AN_HOUR:
        return f"{whole // (24 * AN_HOUR)} days"
    hours, rest = divmod(whole, AN_HOUR)
    minutes, left = divmod(rest, A_MINUTE)
    return f"{hours}:{minutes:02d}:{left:02d}" if hours else f"{minutes}:{left:02d}"


def clock_target(step: DayStep, following: DayStep | None) -> datetime | None:
    """What the clock of the present step counts to: its end, or where it takes no time the next step."""
    if step.step.minutes > 0:
        return step.ends
    return following.at if following is not None else None


def hour(moment: datetime, now: datetime) -> str:
    """“14:25” today, “Sat 14:25” on another day."""
    local = moment.astimezone(now.tzinfo)
    return local.strftime("%H:%M" if local.date() == now.date() else "%a %H:%M")


def logged_hour(at: str, now: datetime) -> str:
    """The hour of something that was written down."""
    return hour(datetime.fromisoformat(at), now)
