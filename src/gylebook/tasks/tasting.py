"""Set up a blind test of beers in a book, take its answers, and show how far it has come.

In:  a book's location, portions by brew and key, what tasters picked.
Out: `TastingInBook`; events, each written once.

Idea: a test is one event on the brew of its first beer, with every glass in it; an answer is an event that
names it.  A code stands on one glass alone, so a code is all that an answer needs.  Nothing is changed: an
answer put right takes the place of the earlier one, which stays in the book.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any
from uuid import UUID, uuid4

from gylebook.brewery.tasting import (
    GLASS_ML,
    GLASSES,
    MOST_GLASSES,
    MOST_RANKED,
    MOST_ROUNDS,
    MOST_TASTERS,
    Answer,
    GlassSet,
    Poured,
    Tasting,
    TestKind,
)
from gylebook.decide.tasting import beer_needed, glasses_needed, serving
from gylebook.errors import Problem, Refused
from gylebook.exchange.plan_file import read_plan
from gylebook.record.book import Book
from gylebook.record.events import ANSWERED, TASTING, WITHDRAWN, Brew, Event
from gylebook.record.replay import standing
from gylebook.record.store import open_book

Asked = tuple[str, str]  # a brew, by name or id, and the key of a portion
LARGEST_SEED = 2**31


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """An answer that stands, with the event that holds it."""

    event: Event
    answer: Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class TastingInBook:
    """A test as it stands; `number` is that of its event."""

    number: int
    id: UUID
    brew_id: UUID
    at: str
    tasting: Tasting
    answers: tuple[Answered, ...]

    @property
    def missing(self) -> int:
        """Sets that are not answered yet."""
        return len(self.tasting.sets) - len(self.answers)

    @property
    def glasses(self) -> int:
        """Glasses to be poured."""
        return sum(len(one.codes) for one in self.tasting.sets)

    @property
    def beer_ml(self) -> float:
        """Of each beer, foam included."""
        tasting = self.tasting
        return beer_needed(tasting.kind, len(tasting.poured), len(tasting.sets), tasting.glass_ml)

    def answer_of(self, taster: int, round: int) -> Answered | None:
        """What stands of a taster's set."""
        return next(
            (one for one in self.answers if (one.answer.taster, one.answer.round) == (taster, round)), None
        )


def beers_in_book(location: str, most_brews: int | None = None) -> tuple[Poured, ...]:
    """Every portion and blend of every brew, the newest brew first."""
    with open_book(location) as book:
        brews = book.brews()[::-1][:most_brews]
        return tuple(beer for brew in brews for beer in _beers_of(book, brew))


def set_up(
    location: str,
    kind: TestKind,
    beers: Sequence[Asked],
    *,
    tasters: int,
    rounds: int = 1,
    trait: str = "",
    foretold: int | None = None,
    seed: int | None = None,
    glass_ml: float = GLASS_ML,
    at: str,
    device: str = "",
    id: UUID | None = None,
) -> TastingInBook:
    """Set a test up: who gets which glasses in which order under which codes.

    Without a `seed` luck gives one, out of the event's `id`; the same id again gives the test that is there.
    """
    own = id or uuid4()
    with open_book(location) as book:
        for event in book.events_of(TASTING):
            if event.id == own:
                return _in_book(event, ())
        refuse_what_cannot_be(kind, len(beers), tasters, rounds, trait, foretold, glass_ml)
        poured = tuple(_beer_asked(book, *asked) for asked in beers)
        if len({(beer.brew_id, beer.portion) for beer in poured}) < len(poured):
            raise Refused((Problem("beers", "the same beer stands there twice", "name different ones"),))
        luck = own.int % LARGEST_SEED if seed is None else seed
        tasting = Tasting(
            kind=kind,
            poured=poured,
            tasters=tasters,
            rounds=rounds,
            trait=" ".join(trait.split()),
            foretold=foretold,
            seed=luck,
            glass_ml=glass_ml,
            sets=serving(kind, len(poured), tasters, rounds, luck),
        )
        event = book.write_event(UUID(poured[0].brew_id), TASTING, asdict(tasting), at, id=own, device=device)
    return _in_book(event, ())


def refuse_what_cannot_be(
    kind: TestKind,
    beers: int,
    tasters: int,
    rounds: int,
    trait: str,
    foretold: int | None,
    glass_ml: float,
) -> None:
    """Raise Refused with all that is wrong with a test."""
    found = []
    if kind == "ranking" and not 3 <= beers <= MOST_RANKED:
        found.append(Problem("beers", f"{beers}", f"a ranking takes 3 to {MOST_RANKED}"))
    if kind != "ranking" and beers != 2:
        found.append(Problem("beers", f"{beers}", "this test takes two; for more of them take a ranking"))
    if not 1 <= tasters <= MOST_TASTERS:
        found.append(Problem("tasters", f"{tasters}", f"must be 1 to {MOST_TASTERS}"))
    if not 1 <= rounds <= MOST_ROUNDS:
        more = "more than that tires the tongue; go on another day"
        found.append(Problem("rounds", f"{rounds}", f"must be 1 to {MOST_ROUNDS}: {more}"))
    if kind == "ranking" and rounds != 1:
        found.append(Problem("rounds", f"{rounds}", "a ranking is tasted once by each"))
    if kind == "paired" and not trait.strip() and rounds > 1:
        again = "ask once what is liked: asked again, a taster only says it again, and luck is no guess then"
        found.append(Problem("rounds", f"{rounds}", again))
    if not found and glasses_needed(kind, beers, tasters * rounds) > MOST_GLASSES:
        many = glasses_needed(kind, beers, tasters * rounds)
        found.append(Problem("tasters", f"{many} glasses", f"codes last for {MOST_GLASSES}; part the panel"))
    if trait and kind in ("triangle", "tetrad"):
        found.append(Problem("trait", f"“{trait}”", "this test asks for no trait; take a pair for that"))
    if foretold is not None and (kind != "paired" or not trait.strip()):
        found.append(Problem("foretold", "", "only of a pair with a trait can it be said which has more"))
    if foretold is not None and not 0 <= foretold < 2:
        found.append(Problem("foretold", f"beer {foretold + 1}", "is not of this pair"))
    if not 10.0 <= glass_ml <= 300.0:
        found.append(Problem("glass", f"{glass_ml:g} mL", "must be 10 to 300 mL"))
    if found:
        raise Refused(found)


def tastings_in_book(location: str) -> tuple[TastingInBook, ...]:
    """Every test that was set up and not withdrawn, the newest first."""
    with open_book(location) as book:
        return _all(book)[::-1]


def tasting_in_book(location: str, number: int) -> TastingInBook:
    """One test, by its number."""
    with open_book(location) as book:
        return _numbered(book, number)


def write_answer(
    location: str,
    number: int,
    picked: Iterable[str],
    *,
    at: str,
    who: str = "",
    sure: int = 0,
    words: str = "",
    instead: bool = False,
    reason: str = "",
    device: str = "",
    id: UUID | None = None,
) -> TastingInBook:
    """Write down what a taster picked: the codes tell whose set it is.

    Of a set that was answered already the answer is refused, unless it comes `instead` of the earlier one.
    """
    codes = tuple(code.strip() for code in picked if code.strip())
    with open_book(location) as book, book.all_or_nothing():
        found = _numbered(book, number)
        if id is not None and any(event.id == id for event in book.events_of(ANSWERED)):
            return found
        of = _set_of(found.tasting, codes)
        if not 0 <= sure <= 3:
            raise Refused((Problem("sure", f"{sure}", "1 is a guess, 2 rather, 3 certain"),))
        earlier = found.answer_of(of.taster, of.round)
        if earlier is not None and not instead:
            was = f"taster {of.taster} answered that set already, with {' '.join(earlier.answer.picked)}"
            raise Refused(
                (Problem("picked", was, "say that this comes instead, if the earlier one is wrong"),)
            )
        answer = Answer(taster=of.taster, round=of.round, picked=codes, sure=sure, words=words.strip())
        body = {"tasting": str(found.id), **asdict(answer)}
        supersedes = None if earlier is None else earlier.event.id
        book.write_event(
            found.brew_id, ANSWERED, body, at,
            id=id, who=who.strip(), device=device, supersedes=supersedes, reason=reason,
        )  # fmt: skip
        return _numbered(book, number)


def call_off(location: str, number: int, *, at: str, reason: str = "", device: str = "") -> None:
    """Take a test back that was set up wrongly: it stays in the book and is shown no more."""
    with open_book(location) as book:
        found = _numbered(book, number)
        book.write_event(
            found.brew_id, WITHDRAWN, {}, at, device=device, supersedes=found.id, reason=reason.strip()
        )


def _set_of(tasting: Tasting, codes: tuple[str, ...]) -> GlassSet:
    """The set that these codes are of, as many as the test asks for."""
    beers = GLASSES.get(tasting.kind, len(tasting.poured))
    wanted = {"triangle": 1, "paired": 1, "tetrad": 2, "ranking": beers}[tasting.kind]
    known = {code: one for one in tasting.sets for code in one.codes}
    strange = [code for code in codes if code not in known]
    if strange:
        raise Refused((Problem("picked", f"{', '.join(strange)} is on no glass of this test", "look again"),))
    if len(codes) != wanted or len(set(codes)) != wanted:
        asked = {
            "triangle": "write the code of the odd glass",
            "paired": "write the code of the glass that has more",
            "tetrad": "write the two codes of one group",
            "ranking": f"write all {wanted} codes, the most first",
        }[tasting.kind]
        raise Refused((Problem("picked", f"{len(set(codes))} codes", asked),))
    sets = {(known[code].taster, known[code].round) for code in codes}
    if len(sets) > 1:
        said = f"{' and '.join(codes)} stood before different tasters or in different sets"
        raise Refused((Problem("picked", said, "write codes of one set"),))
    return known[codes[0]]


def _all(book: Book) -> tuple[TastingInBook, ...]:
    events = standing(book.events_of(TASTING, ANSWERED))
    answers: dict[str, list[Answered]] = {}
    for event in events:
        if event.kind == ANSWERED:
            answers.setdefault(str(event.body["tasting"]), []).append(
                Answered(event=event, answer=_answer_of(event.body))
            )
    return tuple(_in_book(event, answers.get(str(event.id), ())) for event in events if event.kind == TASTING)


def _numbered(book: Book, number: int) -> TastingInBook:
    found = _all(book)
    for one in found:
        if one.number == number:
            return one
    held = ", ".join(str(one.number) for one in found) or "none yet"
    raise Refused((Problem(f"tasting {number}", "", f"is not in this book; it holds {held}"),))


def _in_book(event: Event, answers: Sequence[Answered]) -> TastingInBook:
    by_set = sorted(answers, key=lambda one: (one.answer.taster, one.answer.round))
    return TastingInBook(
        number=event.seq,
        id=event.id,
        brew_id=event.brew_id,
        at=event.at,
        tasting=_tasting_of(event.body),
        answers=tuple(by_set),
    )


def _tasting_of(body: Mapping[str, Any]) -> Tasting:
    sets = tuple(
        GlassSet(
            taster=one["taster"], round=one["round"], beers=tuple(one["beers"]), codes=tuple(one["codes"])
        )
        for one in body["sets"]
    )
    return Tasting(**{**body, "poured": tuple(Poured(**beer) for beer in body["poured"]), "sets": sets})


def _answer_of(body: Mapping[str, Any]) -> Answer:
    known = {key: value for key, value in body.items() if key != "tasting"}
    return Answer(**{**known, "picked": tuple(body["picked"])})


def beer_asked(location: str, brew: str, portion: str) -> Poured:
    """A portion or a blend of a brew, or Refused with those that there are."""
    with open_book(location) as book:
        return _beer_asked(book, brew, portion)


def _beer_asked(book: Book, brew: str, portion: str) -> Poured:
    beers = _beers_of(book, book.brew(brew))
    for beer in beers:
        if beer.portion == portion:
            return beer
    known = ", ".join(beer.portion for beer in beers)
    raise Refused((Problem("beers", f"“{portion}” of “{brew}”", f"its portions are {known}"),))


def _beers_of(book: Book, brew: Brew) -> list[Poured]:
    kept = book.plan_version(brew.plan_id)
    plan = read_plan(kept.text, where=f"plan “{kept.name}” version {kept.version}")
    named = [(portion.key, portion.name) for portion in plan.portions]
    named += [(blend.key, blend.name) for blend in plan.blends]
    return [Poured(brew_id=str(brew.id), brew=brew.name, portion=key, name=name) for key, name in named]
