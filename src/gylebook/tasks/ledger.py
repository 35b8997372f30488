"""Look through the ledger: every brew of a book, what was foretold of it against what it became.

In:  a book at hand, words to look for, a brew and perhaps the number of an event.
Out: `LedgerPage` of `LedgerEntry`s; `Reopened`, one brew as it stood at that moment.

Idea: what was foretold is the plan's own forecast before anything was read, what it became is the forecast
after all readings, which are its result where it was measured.  Both follow from the pinned versions and the
events, so a page of the ledger of long ago reads as it did then.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from uuid import UUID

from gylebook.brewery.plan import Plan
from gylebook.errors import GylebookError
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.draws import Summary, summarise
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import places
from gylebook.record.events import PLAN_CHANGED, Brew, BreweryVersion, Event, PlanVersion
from gylebook.record.store import open_book
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import Standing, look_at_brew
from gylebook.tasks.cellar import ferment_of
from gylebook.tasks.fermenting import followed_portion
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views, trust_view
from gylebook.tasks.run_view import limit_views, run_view
from gylebook.tasks.trust import ReadingView, TrustView
from gylebook.tasks.views import LimitView, RunView

A_PAGE = 25
OF_ALL = ("fermenters.volume_l", "og")
OF_A_PORTION = ("volume_l", "og", "fg", "packaged_l")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One number: as foretold before the day, and by all that was read; `measured` where it was itself read.

    `portion` is the name of the portion it is of, nothing where it is of the whole wort.
    """

    name: str
    portion: str
    foretold: Summary
    became: Summary
    measured: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerEntry:
    """A brew in short; the numbers are those of the whole wort."""

    brew: Brew
    beer: str
    brewery: str
    portions: tuple[str, ...]
    readings: int
    told: tuple[Told, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerPage:
    """Some entries of all that were found, the newest first; pages count from 1."""

    entries: tuple[LedgerEntry, ...]
    found: int
    number: int
    pages: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopened:
    """A brew as it stood after event `up_to`: every number told, and the versions that it pins.

    `events` are all that ever happened in it, superseded ones among them; `plans` were followed one after
    the other, each with the step from which on.  `instruments` are kinds by key, `portions` names by key.
    """

    brew: Brew
    up_to: int
    events: tuple[Event, ...]
    told: tuple[Told, ...]
    plans: tuple[tuple[PlanVersion, str], ...]
    brewery: BreweryVersion
    instruments: dict[str, str]
    portions: dict[str, str]
    run: RunView
    limits: tuple[LimitView, ...]
    readings: tuple[ReadingView, ...]
    trust: TrustView | None


def ledger_page(hand: AtHand, asked: str = "", number: int = 1) -> LedgerPage:
    """One page of the brews in which every word asked for occurs."""
    with open_book(hand.location) as book:
        brews = book.brews()[::-1]
        gear = {version.id: version.name for version in book.breweries()}
    wanted = asked.casefold().split()
    found = [brew for brew in brews if not wanted or _holds(hand, brew, gear[brew.brewery_id], wanted)]
    pages = max(1, -(-len(found) // A_PAGE))
    number = min(max(number, 1), pages)
    some = found[(number - 1) * A_PAGE : number * A_PAGE]
    return LedgerPage(
        entries=tuple(_entry(hand, brew, gear[brew.brewery_id]) for brew in some),
        found=len(found),
        number=number,
        pages=pages,
    )


def reopen(hand: AtHand, name: str, up_to: int | None = None) -> Reopened:
    """A brew as it stands, or as it stood after the event `up_to`; worked out once for each event."""
    return hand.worked_out(f"reopened {up_to}", name, lambda: _reopened(hand, name, up_to))


def _reopened(hand: AtHand, name: str, up_to: int | None) -> Reopened:
    standing = hand.standing(name) if up_to is None else look_at_brew(hand.location, name, up_to=up_to)
    outlook = standing.outlook
    with open_book(hand.location) as book:
        events = book.events(standing.brew.id)
        plans = [(book.plan_version(standing.brew.plan_id), "")]
        plans += [
            (book.plan_version(UUID(event.body["plan_version_id"])), str(event.body["after_step"]))
            for event in standing.events
            if event.kind == PLAN_CHANGED
        ]
        brewery = book.brewery_version(standing.brew.brewery_id)
    ends = _ends(standing)
    return Reopened(
        brew=standing.brew,
        up_to=events[-1].seq if up_to is None else up_to,
        events=events,
        told=tuple(_by_the_curve(told, ends) for told in told_of(outlook, portions=True)),
        plans=tuple(plans),
        brewery=brewery,
        instruments={key: instrument.kind for key, instrument in outlook.brewery.instruments.items()},
        portions={portion.key: portion.name for portion in outlook.plan.portions},
        run=run_view(outlook),
        limits=tuple(sorted(limit_views(outlook), key=lambda limit: limit.odds_kept)),
        readings=reading_views(outlook),
        trust=trust_view(outlook),
    )


def told_of(outlook: Outlook, *, portions: bool) -> Iterable[Told]:
    """What was foretold against what it became: of the whole wort, with `portions` of each of them too."""
    before = Model(outlook.planned, outlook.brewery).forecast(outlook.prior)
    read = {
        place.shows
        for place in places(outlook.plan, outlook.brewery)
        for reading in outlook.readings
        if (place.step, place.quantity) == (reading.step, reading.quantity)
    }
    names = [(name, "") for name in OF_ALL]
    if portions:
        names += [
            (f"portion.{portion.key}.{what}", portion.name)
            for portion in outlook.plan.portions
            for what in OF_A_PORTION
        ]
    for name, portion in names:
        yield Told(
            name=name,
            portion=portion,
            foretold=summarise(before[name]),
            became=outlook.numbers[name],
            measured=name in read,
        )


def _ends(standing: Standing) -> dict[str, Summary]:
    """Where each portion ends by what was read of it while it fermented."""
    found = {}
    for portion in standing.outlook.plan.portions:
        if any(followed_portion(reading.step) == portion.key for reading in standing.outlook.followed):
            with suppress(GylebookError):  # the portion's own page says why its curve cannot be told
                found[f"portion.{portion.key}.fg"] = ferment_of(standing, portion.key).end
    return found


def _by_the_curve(told: Told, ends: Mapping[str, Summary]) -> Told:
    """A final gravity as the curve has it, unless the finished beer itself was read."""
    return replace(told, became=ends[told.name]) if told.name in ends and not told.measured else told


def _entry(hand: AtHand, brew: Brew, brewery: str) -> LedgerEntry:
    def work_out() -> LedgerEntry:
        outlook = look_at_brew(hand.location, str(brew.id)).outlook
        return LedgerEntry(
            brew=brew,
            beer=outlook.plan.name,
            brewery=brewery,
            portions=tuple(portion.name for portion in outlook.plan.portions),
            readings=len(outlook.readings) + len(outlook.followed),
            told=tuple(told_of(outlook, portions=False)),
        )

    return hand.worked_out("ledger", str(brew.id), work_out)


def _holds(hand: AtHand, brew: Brew, brewery: str, wanted: list[str]) -> bool:
    """Whether every word occurs in a brew's name, its beer, its brewery or what went into it."""
    text = hand.worked_out("ledger words", str(brew.id), lambda: _words(hand.location, brew, brewery))
    return all(word in text for word in wanted)


def _words(location: str, brew: Brew, brewery: str) -> str:
    with open_book(location) as book:
        kept = book.plan_version(brew.plan_id)
    plan = read_plan(kept.text, where=f"plan “{kept.name}” version {kept.version}")
    return "\n".join([brew.name, brewery, brew.started_at[:10], *_went_in(plan)]).casefold()


def _went_in(plan: Plan) -> Iterable[str]:
    yield plan.name
    for grain in plan.grist:
        yield grain.name
    for hop in plan.hops:
        yield hop.variety
    for addition in plan.additions:
        yield addition.name
    for portion in plan.portions:
        yield portion.name
        yield portion.yeast.kind
        if portion.later is not None:
            yield portion.later.kind
