"""Hold what a face may show of a forecast, as plain records of numbers.

In:  nothing; `tasks.outlook` and `tasks.order_view` fill them.
Out: frozen records that pictures, sheets, the command line and the page are drawn from.

Idea: a face needs no array and no nouns of the model; a number arrives as a `Summary` in base units and is
worded by `faces.words`.  Nothing here computes or formats.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.figures.draws import Summary
from gylebook.tasks.trust import ReadingView, TrustView


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitView:
    """A limit, how surely it is kept, and its margin (below zero: exceeded) in `unit`.

    `kept` says whether the odds reach what the plan asked for; `portion` is the key of the portion whose own
    it is.
    """

    name: str
    vessel: str
    odds_kept: float
    asked: float
    margin: Summary
    unit: str
    portion: str | None = None

    @property
    def kept(self) -> bool:
        """Whether the odds reach the asked level."""
        return self.odds_kept >= self.asked


@dataclass(frozen=True, slots=True, kw_only=True)
class AimView:
    """An aim and how the forecast stands to it; `name` is volume, gravity, bitterness or mash pH.

    `odds` is of reaching the volume, or of lying within `within` of a gravity or a bitterness.
    """

    name: str
    aim: float
    forecast: Summary
    odds: float
    within: float | None
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundaryView:
    """How much of a beer the brewery can carry, where it cannot carry what was asked.

    `volume_l` is the most with every limit kept at the `asked` odds, None where no volume tried is carried;
    `limit` stops it in `vessel`, and is missed by `short_by` [unit] at the volume that was wanted.  With
    `others_fail` some limit is not kept that would not be at any volume, and is left out here.
    """

    wanted_l: float
    volume_l: float | None
    asked: float
    limit: LimitView
    short_by: float
    others_fail: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselView:
    """A vessel at one step: its level as it stands (hot where it is hot), and its brim."""

    name: str
    capacity_l: float
    level_l: Summary
    limit: LimitView | None
    grain_kg: float = 0.0
    litres_per_cm: float | None = None  # of its height, where its width is known


@dataclass(frozen=True, slots=True, kw_only=True)
class PortionView:
    """One portion from its fermenter to its package."""

    key: str
    name: str
    fermenter: VesselView
    volume_l: Summary
    og: Summary
    fg: Summary
    abv: Summary
    ibu: Summary
    packaged_l: Summary
    odds_to_the_mark: float | None
    yeast: str
    later: str | None
    package: str
    limits: tuple[LimitView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """All that the picture of the run shows; None where the process has no such step. [kg, L, °C, min]"""

    name: str
    draws: int
    readings: int
    volume_l: Summary
    og: Summary
    mash_c: float | None
    mash_minutes: float
    boil_minutes: float
    boil_c: float
    chill_c: float
    grain_kg: float
    mash_liquor_kg: float
    rinse_liquor_kg: float
    kettle_liquor_kg: float
    mash: VesselView | None
    bag_kg: Summary | None
    bag_limit: LimitView | None
    rinse: VesselView | None
    first_wort_kg: Summary | None
    second_wort_kg: Summary | None
    boil: VesselView
    steam_kg: Summary
    stays_kg: Summary
    portions: tuple[PortionView, ...]
    limits: tuple[LimitView, ...]
    aims: tuple[AimView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountView:
    """One thing to weigh or measure out: `amount` in base units of `dimension` (mass or volume).

    Where there is an `at_ph` it is the amount for a mash that reads so.
    """

    what: str
    amount: float
    dimension: str
    note: str = ""
    at_ph: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingAsked:
    """A reading worth taking at a step, where it is expected to lie (°C, L on the marks, SG, kg, min, pH).

    `portion` is the name of the portion to be read, where it is one's own; with `pays` it is one of the few
    that tell most about what is still in doubt.
    """

    step: str
    quantity: str
    instrument: str
    expected: Summary | None
    portion: str = ""
    pays: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StepView:
    """One step of the day.  `start_min` counts from pitching, so it is below zero before it."""

    key: str
    title: str
    start_min: float
    minutes: float
    detail: str
    amounts: tuple[AmountView, ...]
    reading: tuple[ReadingAsked, ...]
    cautions: tuple[str, ...]
    heat_source: str | None
    vessel: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderView:
    """The running order: steps in time."""

    name: str
    steps: tuple[StepView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeView:
    """One number before and after readings, or before and after a remedy."""

    name: str
    before: Summary
    after: Summary


@dataclass(frozen=True, slots=True, kw_only=True)
class RemedyPortion:
    """What a remedy makes of one portion."""

    key: str
    name: str
    volume_l: Summary
    og: Summary
    ibu: Summary
    odds_to_the_mark: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RemedyView:
    """Something to do about a drift: what, how much, its forecast, and its expected loss against the aims.

    `deed` is one of add liquor, boil longer, boil shorter, add extract, add sugar, change a hop,
    move wort, finish the mash pH, move the mash pH, read the mash pH again, leave it.  `amount` is in base
    units of `dimension`; `of` names the hop, sugar, portions or acid.  The mash pH stands here while it can
    still be moved.  `tightest` is the limit kept least surely then.
    """

    deed: str
    amount: float
    dimension: str
    of: str
    loss: float
    portions: tuple[RemedyPortion, ...]
    odds_limits_kept: float
    tightest: LimitView | None = None
    mash_ph: Summary | None = None
    odds_mash_ph: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """All that the printed sheet shows; `trust` and the `doubtful` among them, where readings were taken."""

    run: RunView
    order: OrderView
    amounts: tuple[AmountView, ...]
    brewery: str
    trust: TrustView | None = None
    doubtful: tuple[ReadingView, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsView:
    """Odds in doubt, of a limit or of reaching the mark, and the share of that doubt that would be settled.

    `place` is the vessel, or the key of the portion, that they are of.
    """

    name: str
    place: str
    odds: float
    settled: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthView:
    """A reading not yet taken, by which share it would narrow each number one cares about, and what odds
    that are still in doubt it would settle, the most at the top."""

    step: str
    quantity: str
    instrument: str
    narrows: dict[str, float]
    settles: tuple[OddsView, ...] = ()

    @property
    def most(self) -> float:
        """The most that it narrows or settles any of them."""
        return max(*self.narrows.values(), *(one.settled for one in self.settles), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayView:
    """One way of making a wort: what it needs, what it gains over not rinsing, and its tightest limit."""

    kind: str
    grain_kg: float
    mash_l: float
    rinse_l: float
    lauter: Summary
    saved_kg: Summary | None
    gained_sg: Summary | None
    tightest: LimitView


@dataclass(frozen=True, slots=True, kw_only=True)
class YeastView:
    """Yeast of one portion, in billions of viable cells; `poured_l` is its part of a shared starter."""

    portion: str
    kind: str
    needed: Summary
    given: Summary
    odds_enough: float
    starter: str | None
    poured_l: float | None
    poured_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BeerView:
    """One portion as a beer.

    `abv_by` and `ibu_by` go by the name of the formula or model; `srgb` is the middling colour through some
    centimetres of clear beer on white; gas is in volumes, priming sucrose in grams for each litre that is
    packed, and in all.
    """

    key: str
    name: str
    volume_l: Summary
    og: Summary
    fg: Summary
    abv: Summary
    abv_by: dict[str, Summary]
    ibu_by: dict[str, Summary]
    colour_srm: Summary
    srgb: tuple[int, int, int]
    attenuation: Summary
    real_attenuation: Summary
    energy_kj_per_l: Summary
    energy_kcal_per_100_g: Summary
    heat_kj: Summary
    warmest_above_air_k: Summary
    residual_volumes: Summary
    wanted_volumes: float | None
    sucrose_g_per_l: Summary | None
    sucrose_g: Summary | None
    package: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BlendView:
    """Finished portions poured together."""

    key: str
    name: str
    volume_l: Summary
    fg: Summary
    abv: Summary
    ibu: Summary
    colour_srm: Summary
    residual_volumes: Summary
    wanted_volumes: float | None
    sucrose_g_per_l: Summary | None
    sucrose_g: Summary | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GravityView:
    """A gravity read in fermenting beer, with what the instrument leaves open."""

    sg: Summary
    abv: Summary
    attenuation: Summary
