"""Look into the cellar: where each portion of a brew is, what is next and when, what is at risk.

In:  a brew at hand, or its standing.
Out: `CellarPortion`s; the moment of pitching is written down where no reading tells it.

Idea: a portion is in the cellar from its pitching on.  Its curve says when it is safe to pack, the plan says
when packing was meant; where the plan comes first, that is a risk and is told beside the step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gylebook.errors import GylebookError, Problem, Refused
from gylebook.gyle.observe import FERMENT
from gylebook.gyle.order import running_order
from gylebook.gyle.steps import Step
from gylebook.record.events import PACKED, READING, Event
from gylebook.record.replay import standing as standing_events
from gylebook.record.store import open_book
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import Standing
from gylebook.tasks.ferment_state import ferment_view
from gylebook.tasks.ferment_views import AMISS, FermentView
from gylebook.tasks.fermenting import follow, followed_portion, pitched_as_read
from gylebook.tasks.moments import after, hours_between, moment_of
from gylebook.tasks.order_view import amount_view
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.step_words import detail_of, title_of
from gylebook.tasks.views import AmountView

PITCHED = "pitched"
PACKS = ("bottles", "keg", "blend")


@dataclass(frozen=True, slots=True, kw_only=True)
class CellarStep:
    """Something to do with a portion after pitching, at the moment the plan has for it.

    `early_days` is how long before it is safe that moment lies; nothing is packed before.
    """

    key: str
    title: str
    detail: str
    at: str
    amounts: tuple[AmountView, ...]
    cautions: tuple[str, ...]
    early_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CellarPortion:
    """One portion: when it was pitched and packed (nothing where that is not known), and how it stands.

    `labelled` says that the book knows what it was packed in.  `trouble` says why its fermentation cannot be
    told; `safe_at` is when it may be packed by what was read.
    """

    key: str
    name: str
    yeast: str
    pitched: str
    packed_at: str
    labelled: bool
    ferment: FermentView | None
    trouble: str
    safe_at: str
    ahead: tuple[CellarStep, ...]

    @property
    def at_risk(self) -> bool:
        """Whether something has gone amiss, or packing is planned before it is safe."""
        amiss = self.ferment is not None and self.ferment.verdict in AMISS
        return amiss or any(step.early_days > 0.0 for step in self.ahead)


def cellar_of(hand: AtHand, brew: str) -> tuple[CellarPortion, ...]:
    """Every portion of a brew, worked out once for each event."""
    return hand.worked_out("cellar", brew, lambda: portions_in(hand.standing(brew)))


def portions_in(standing: Standing) -> tuple[CellarPortion, ...]:
    """Every portion of a brew as it stands."""
    outlook = standing.outlook
    steps = [
        step
        for step in running_order(outlook.plan, outlook.brewery, outlook.figures, outlook.course)
        if step.start_min > 0.0
    ]
    return tuple(_portion(standing, portion.key, steps) for portion in outlook.plan.portions)


def pitched_at(standing: Standing, key: str) -> str | None:
    """When a portion was pitched: as was said, else when its filling was read; None where neither tells."""
    for event in reversed(standing.events):
        if event.kind == PITCHED and event.body.get("portion") == key:
            return event.at
    moment = pitched_as_read(standing.outlook, key)
    return None if moment is None else after(moment, 0.0)


def write_pitched(location: str, name: str, key: str, at: str, *, device: str = "") -> Event:
    """Write down when a portion was pitched; said again, it takes the place of what was said before."""
    moment_of(at, "pitched")
    with open_book(location) as book:
        brew = book.brew(name)
        earlier = [
            event
            for event in standing_events(book.events(brew.id))
            if event.kind == PITCHED and event.body.get("portion") == key
        ]
        supersedes = earlier[-1].id if earlier else None
        return book.write_event(brew.id, PITCHED, {"portion": key}, at, device=device, supersedes=supersedes)


def ferment_of(standing: Standing, key: str, pitched: str | None = None) -> FermentView:
    """How a portion ferments, by all that was read and said of it.

    Raises Refused where there is no such portion or it is not known when it was pitched.
    """
    return ferment_view(follow(standing.outlook, key, pitched or pitched_at(standing, key)))


def ferment_step(key: str) -> str:
    """The step at which a portion is read while it ferments."""
    return f"portion.{key} {FERMENT}"


def moment_corrected(events: Sequence[Event], number: int | None) -> str | None:
    """When a fermenting portion was read that is put right now: its gravity speaks of that moment."""
    for event in events:
        if event.seq == number and followed_portion(str(event.body.get("step", ""))) is not None:
            return event.at
    return None


def refuse_unknown_portion(outlook: Outlook, key: str) -> None:
    """Raise Refused where the plan has no such portion."""
    known = [portion.key for portion in outlook.plan.portions]
    if key not in known:
        raise Refused((Problem("portion", f"“{key}”", f"the portions are {', '.join(known)}"),))


def _portion(standing: Standing, key: str, steps: Sequence[Step]) -> CellarPortion:
    plan = standing.outlook.plan
    (portion,) = [portion for portion in plan.portions if portion.key == key]
    pitched = pitched_at(standing, key)
    packed = _packed_at(standing, key)
    view, trouble, safe = None, "", ""
    if pitched is not None:
        try:
            view = ferment_of(standing, key, pitched)
            waited = view.last_h + 24.0 * view.standing.wait_days
            safe = after(moment_of(pitched, "pitched"), waited)
        except GylebookError as problem:
            trouble = str(problem)
    mine = [step for step in steps if _is_of(standing, step, key)]
    return CellarPortion(
        key=key,
        name=portion.name,
        yeast=portion.yeast.kind,
        pitched=pitched or "",
        packed_at=packed,
        labelled=any(e.kind == PACKED and e.body.get("portion") == key for e in standing.events),
        ferment=view,
        trouble=trouble,
        safe_at=safe,
        ahead=tuple(_step(step, pitched, safe) for step in mine) if pitched and not packed else (),
    )


def _step(step: Step, pitched: str, safe: str) -> CellarStep:
    at = after(moment_of(pitched, "pitched"), step.start_min / 60.0)
    early = 0.0
    if safe and step.key in PACKS:
        early = max(hours_between(moment_of(at, "at"), moment_of(safe, "safe")) / 24.0, 0.0)
    return CellarStep(
        key=step.key,
        title=title_of(step),
        detail=detail_of(step),
        at=at,
        # Sugar is told only where the odds that a bottle is overcome are told with it, in `packing`.
        amounts=tuple(amount_view(a) for a in step.amounts if step.key not in PACKS or a.dimension != "mass"),
        cautions=step.cautions,
        early_days=early,
    )


def _is_of(standing: Standing, step: Step, key: str) -> bool:
    """Whether a step after pitching is done with this portion: it reads it, or bears its name."""
    if any(place.removesuffix(" end").removesuffix(" package") == f"portion.{key}" for place, _ in step.read):
        return True
    plan = standing.outlook.plan
    (name,) = [portion.name for portion in plan.portions if portion.key == key]
    return step.key not in PACKS and (step.what == name or step.what.endswith(f" into {name}"))


def _packed_at(standing: Standing, key: str) -> str:
    """When it was packed: as was written down, else by the reading taken then."""
    for event in standing.events:
        if event.kind == PACKED and event.body.get("portion") == key:
            return event.at
    places = (f"portion.{key} end", f"portion.{key} package")
    for event in standing.events:
        if event.kind == READING and event.body.get("step") in places:
            return event.at
    return ""


__all__ = [
    "PITCHED",
    "CellarPortion",
    "CellarStep",
    "cellar_of",
    "ferment_of",
    "ferment_step",
    "moment_corrected",
    "pitched_at",
    "portions_in",
    "refuse_unknown_portion",
    "write_pitched",
]
