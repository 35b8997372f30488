"""Name what the API takes and gives.

In:  JSON.
Out: checked models; the answers have the keys of the command line's `--json`, in base units.

Idea: what a program sends is bounded here, so that no task ever gets a text of a megabyte or a million draws.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field

from gylebook.tasks.outlook import DRAWS, FEWEST, LARGEST_SEED, SEED

MOST_DRAWS = 20_000  # at one request; the command line has more patience
LARGEST_NUMBER = 2**63 - 1

Name = Annotated[str, Field(min_length=1, max_length=200, pattern=r"^[^\x00]+$")]  # no database keeps a NUL
Short = Annotated[str, Field(max_length=200)]
Text = Annotated[str, Field(max_length=200_000, description="A TOML file, as the command line reads it.")]
Draws = Annotated[int, Field(ge=FEWEST, le=MOST_DRAWS, description="Futures to draw.")]
Seed = Annotated[int, Field(ge=0, le=LARGEST_SEED, description="Same seed, same answer.")]
Litres = Annotated[float, Field(ge=0.1, le=2000)]
Number = Annotated[int, Field(ge=0, le=LARGEST_NUMBER)]
Moment = Annotated[
    str | None, Field(max_length=64, description="ISO 8601, or 14:07 of today; the present if not given.")
]


class Sent(BaseModel):
    """What is sent; a key that is not known is refused, as it may be one misspelt."""

    model_config = ConfigDict(extra="forbid")


class PlanSent(Sent):
    """A plan to keep."""

    text: Text
    note: Short = ""


class BrewerySent(Sent):
    """A brewery to keep."""

    text: Text


class TextsSent(Sent):
    """A plan and the brewery to look ahead with; nothing is kept."""

    plan: Text
    brewery: Text
    draws: Draws = DRAWS
    seed: Seed = SEED


class WishSent(Sent):
    """Beers wanted of one wort, and the brewery to make them on."""

    wish: Text
    brewery: Text


class BecomesSent(TextsSent):
    """A plan, a brewery, and the key of the portion that is asked about; the first where none is named."""

    portion: Name | None = None
    most: Annotated[int, Field(ge=1, le=100)] = 24


class LarderSent(TextsSent):
    """A plan, a brewery, and what can be bought."""

    larder: Text


class FillingsSent(Sent):
    """A brewery, and the kegs and the bottle to fill. [L]"""

    brewery: Text
    kegs_l: Annotated[list[Litres], Field(max_length=12)] = []
    bottle_l: Litres | None = None
    wanted_l: Litres | None = None


class BrewSent(Sent):
    """A brew to start; the newest versions where none is named."""

    name: Name
    plan: Name
    brewery: Name
    plan_version: Annotated[int, Field(ge=1, le=LARGEST_NUMBER)] | None = None
    brewery_version: Annotated[int, Field(ge=1, le=LARGEST_NUMBER)] | None = None
    at: Moment = None
    draws: Draws = DRAWS
    seed: Seed = SEED


class ReadingSent(Sent):
    """A reading as it is typed: the value carries its unit, which tells what was read.

    Sent twice with the same `id`, it is kept once.  `corrects` is the number of an earlier reading.
    """

    step: Name
    value: Name
    instrument: Short | None = None
    temperature: Short | None = None
    meter: Short | None = None
    gassy: bool = False
    at: Moment = None
    who: Short = ""
    id: UUID | None = None
    corrects: Number | None = None
    reason: Short = ""


class WithdrawalSent(Sent):
    """Why a reading is taken back."""

    reason: Name
    at: Moment = None


class AdoptionSent(Sent):
    """Which of the remedies is done: 1 is the best."""

    remedy: Annotated[int, Field(ge=1, le=1000)]
    at: Moment = None


class PitchedSent(Sent):
    """When a portion was pitched."""

    at: Moment = None


class Spread(BaseModel):
    """An uncertain number: 90 of 100 futures lie between low and high.  None where it has no end."""

    median: float | None
    low: float | None
    high: float | None
    mean: float | None
    sd: float | None


class Margin(Spread):
    """What a limit leaves, below zero where it is exceeded."""

    unit: str


class LimitTold(BaseModel):
    """A limit and the odds of keeping it."""

    name: str
    vessel: str
    odds_kept: float
    margin: Margin


class AimTold(BaseModel):
    """An aim and the odds of reaching it."""

    name: str
    aim: float
    forecast: Spread
    odds: float
    within: float | None
    unit: str


class About(BaseModel):
    """How a forecast was reached; `readings` tells how far they agree, and is nothing before the first."""

    draws: int
    seed: int
    aims: list[AimTold]
    readings: dict[str, Any] | None


class Numbers(BaseModel):
    """Every named number of a forecast, such as `kettle.preboil.volume_l`."""

    numbers: dict[str, Spread]


class Forecast(Numbers):
    """A forecast."""

    limits: list[LimitTold]
    about: About


class Solved(BaseModel):
    """What the plan left open, and the whole plan as a file."""

    amounts: dict[str, Any]
    aims: list[AimTold]
    limits: list[LimitTold]
    boundary: dict[str, Any] | None
    text: str


class Division(BaseModel):
    """Worts that serve a wish, best first, and as plans; what stands between beers; beers none serves."""

    solutions: list[dict[str, Any]]
    conflicts: list[dict[str, Any]]
    unmade: list[dict[str, Any]]
    plans: list[str]


class Becomes(BaseModel):
    """Styles that a wort could become, those within reach first."""

    becomes: list[dict[str, Any]]


class LarderTold(BaseModel):
    """A shopping list, and the plan in the weights that packs give."""

    currency: str
    purchases: list[dict[str, Any]]
    missing: list[tuple[str, float | None]]
    cost: float
    moved: list[dict[str, Any]]
    before: dict[str, Spread]
    after: dict[str, Spread]
    text: str


class FillingsTold(BaseModel):
    """Sets of portions, best first."""

    sets: list[dict[str, Any]]


class Limits(BaseModel):
    """What must not be exceeded, and how much of this beer the brewery can carry."""

    limits: list[LimitTold]
    boundary: dict[str, Any] | None


class Version(BaseModel):
    """One version of a plan or a brewery."""

    name: str
    version: int
    made_at: str
    note: str = ""


class VersionText(Version):
    """The same with its text."""

    text: str


class BrewTold(BaseModel):
    """A brew, by its name or its id."""

    id: UUID
    name: str
    started_at: str
    draws: int
    seed: int
    program_version: str
    plan_id: UUID
    brewery_id: UUID


class BookTold(BaseModel):
    """What a book holds."""

    made_at: str
    revision: str
    newest_event: int
    breweries: list[Version]
    plans: list[Version]
    tables: list[Version]
    brews: list[BrewTold]


class EventTold(BaseModel):
    """One thing that happened; its number grows in the order of writing."""

    number: int
    id: UUID
    kind: str
    at: str
    who: str
    body: dict[str, Any]


class BrewStanding(Forecast):
    """A brew as it stands, or stood."""

    brew: BrewTold
    limits_kept: bool
    events: list[EventTold]


class Readings(BaseModel):
    """How the readings of a day agree; nothing before the first."""

    readings: dict[str, Any] | None


class Remedies(BaseModel):
    """What can still be done, the best first, and how far the readings behind it agree."""

    remedies: list[dict[str, Any]]
    readings: dict[str, Any] | None


class Order(BaseModel):
    """The running order; minutes count from pitching, below zero before it."""

    name: str
    steps: list[dict[str, Any]]


class EventShort(BaseModel):
    """What was written down."""

    number: int
    id: UUID
    kind: str


class ChangeTold(BaseModel):
    """A number before and after."""

    before: Spread
    after: Spread


class TakenTold(BaseModel):
    """What was written down, and what it changes; `mash_ph` is what can be done about it, while it can."""

    event: EventShort
    changes: dict[str, ChangeTold]
    mash_ph: list[dict[str, Any]]
    about: Readings


class Reach(BaseModel):
    """Where gravity lies at an hour after pitching."""

    hours: float
    low: float | None
    median: float | None
    high: float | None


State = Literal["on its way", "slow", "stuck", "runaway", "as good as finished"]


class Ferment(BaseModel):
    """One portion in fermentation: odds of each state, its curve, and how long to wait."""

    model_config = ConfigDict(extra="allow")
    key: str
    name: str
    pitched: str
    verdict: State
    odds: dict[str, float]
    end_is_guess: bool
    now: Spread
    end: Spread
    near_end_at: list[str]
    standing: dict[str, Any]
    taken: list[dict[str, Any]]
    band: list[Reach]
