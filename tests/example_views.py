"""Invent views of a forecast, for tests of whatever shows one.

All figures are invented and agree only roughly with one another.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gylebook.figures.draws import Summary
from gylebook.tasks.views import (
    AimView,
    AmountView,
    LimitView,
    OrderView,
    PortionView,
    ReadingAsked,
    RunView,
    SheetView,
    StepView,
    VesselView,
)


def about(median: float, spread: float) -> Summary:
    """A summary whose 90 % interval reaches `spread` to either side."""
    return Summary(median, median - spread, median + spread, median, spread / 1.645)


def limit(name: str, vessel: str, odds: float, margin: float, unit: str = "L") -> LimitView:
    return LimitView(
        name=name,
        vessel=vessel,
        odds_kept=odds,
        asked=0.95,
        margin=about(margin, abs(margin) + 0.5),
        unit=unit,
    )


def vessel(
    name: str, capacity: float, level: float, spread: float, kept: LimitView | None = None, grain: float = 0.0
) -> VesselView:
    return VesselView(
        name=name, capacity_l=capacity, level_l=about(level, spread), limit=kept, grain_kg=grain
    )


def portion(key: str, name: str, volume: float, fg: float, yeast: str, **other: Any) -> PortionView:
    head_room = other.pop("head_room", limit("head room", name, 0.97, 1.1))
    yeast_count = limit("yeast count", name, other.pop("yeast_odds", 0.98), 40.0, "billion cells")
    fields: dict[str, Any] = {
        "key": key,
        "name": name,
        "fermenter": vessel(f"fermenter {key}", other.pop("capacity", 16.0), volume, 0.7, head_room),
        "volume_l": about(volume, 0.7),
        "og": about(1.0524, 0.0041),
        "fg": about(fg, 0.0022),
        "abv": about((1.0524 - fg) * 132, 0.6),
        "ibu": about(28.2, 4.4),
        "packaged_l": about(volume - 0.8, 0.8),
        "odds_to_the_mark": 0.88,
        "yeast": yeast,
        "later": None,
        "package": "keg",
        "limits": (head_room, yeast_count) if head_room else (yeast_count,),
    }
    return PortionView(**{**fields, **other})


THREE = (
    portion("keg", "Keg", 11.9, 1.0112, "Kölsch-type yeast"),
    portion("bottles", "Bottles", 11.9, 1.0049, "farmhouse yeast", package="bottles"),
    portion(
        "long", "Long", 10.1, 1.0031, "Kölsch-type yeast", later="Brettanomyces after 14 days",
        package="stays", capacity=12.0, head_room=limit("head room", "Long", 0.91, 0.2),
    ),
)  # fmt: skip


def run_view(**changes: Any) -> RunView:
    """A bag mash with a dunk rinse in a second pot, one amber wort in three portions."""
    mash_brim = limit("mash brim", "kettle", 0.9991, 9.8)
    rinse_brim = limit("rinse vessel brim", "second pot", 0.985, 3.3)
    foam = limit("foam room", "kettle", 0.914, 0.4)
    bag = limit("bag weight", "hoist", 0.93, 2.4, "kg")
    portions: tuple[PortionView, ...] = changes.get("portions", THREE)
    fields: dict[str, Any] = {
        "name": "Orchard amber",
        "draws": 4000,
        "readings": 0,
        "volume_l": about(33.9, 1.6),
        "og": about(1.0524, 0.0041),
        "mash_c": 66.0,
        "mash_minutes": 60.0,
        "boil_minutes": 70.0,
        "boil_c": 99.6,
        "chill_c": 20.0,
        "grain_kg": 8.2,
        "mash_liquor_kg": 34.0,
        "rinse_liquor_kg": 12.0,
        "kettle_liquor_kg": 0.0,
        "mash": vessel("kettle", 50.0, 39.6, 1.05, mash_brim, grain=8.2),
        "bag_kg": about(17.2, 1.4),
        "bag_limit": bag,
        "rinse": vessel("second pot", 30.0, 26.6, 1.45, rinse_brim, grain=8.2),
        "first_wort_kg": about(27.4, 1.2),
        "second_wort_kg": about(12.6, 0.9),
        "boil": vessel("kettle", 50.0, 42.9, 1.55, foam),
        "steam_kg": about(4.4, 0.9),
        "stays_kg": about(2.6, 0.8),
        "portions": portions,
        "limits": (
            mash_brim,
            limit("mash thickness", "kettle", 0.9998, 1.4, "L/kg"),
            rinse_brim,
            bag,
            foam,
            limit("kettle brim at the end", "kettle", 0.9999, 9.1),
            limit("heating the liquor", "kettle", 0.96, 22.0, "min"),
            limit("heating to the boil", "kettle", 0.97, 14.0, "min"),
            limit("cooling", "kettle", 0.99, 25.0, "min"),
            *(kept for part in portions for kept in part.limits),
        ),
        "aims": (
            AimView(name="volume", aim=33.0, forecast=about(33.9, 1.6), odds=0.884, within=None, unit="L"),
            AimView(
                name="gravity", aim=1.052, forecast=about(1.0524, 0.0041), odds=0.81, within=0.003, unit="SG"
            ),
            AimView(
                name="bitterness", aim=28.0, forecast=about(28.2, 4.4), odds=0.74, within=4.0, unit="IBU"
            ),
        ),
    }
    return RunView(**{**fields, **changes})


def many(count: int) -> tuple[PortionView, ...]:
    """So many portions, of different sizes."""
    return tuple(
        portion(f"p{n}", f"Portion {n + 1}", 34.0 / count, 1.004 + 0.002 * n, "ale yeast",
                capacity=34.0 / count * (1.15 + 0.15 * n))
        for n in range(count)
    )  # fmt: skip


def full_volume() -> RunView:
    """The bag is lifted and no one rinses."""
    return run_view(
        rinse=None, second_wort_kg=None, rinse_liquor_kg=0.0, mash_liquor_kg=46.0,
        first_wort_kg=about(40.1, 1.4),
        mash=vessel("kettle", 60.0, 52.0, 1.2, limit("mash brim", "kettle", 0.71, 0.3), grain=8.2),
        boil=vessel("kettle", 60.0, 43.0, 1.5, limit("foam room", "kettle", 0.9999, 9.0)), portions=many(1),
    )  # fmt: skip


def poured_rinse() -> RunView:
    """Liquor is poured through the hung bag, and some goes into the kettle at the end."""
    return run_view(rinse=None, kettle_liquor_kg=2.1, portions=many(2))


def fly_rinse() -> RunView:
    """Liquor runs through the grain where it lies; there is no bag."""
    return run_view(rinse=None, bag_kg=None, bag_limit=None, second_wort_kg=None, portions=many(4))


def extract_only() -> RunView:
    """No mash at all."""
    return run_view(
        mash=None, mash_c=None, mash_minutes=0.0, bag_kg=None, bag_limit=None, rinse=None, first_wort_kg=None,
        second_wort_kg=None, mash_liquor_kg=0.0, rinse_liquor_kg=0.0, kettle_liquor_kg=22.0, grain_kg=3.1,
        boil=vessel("stock pot", 30.0, 25.2, 0.4, limit("foam room", "stock pot", 0.62, 0.1)),
        portions=many(6),
    )  # fmt: skip


def overflowing() -> RunView:
    """Levels beyond the brim, and names that try a page's patience."""
    return run_view(
        name='The "quoted" #1 $5 <script>alert(1)</script> \\u{41} שכר אלון 🍺 and then on and on and on',
        readings=3,
        mash=vessel("kettle", 36.0, 39.6, 1.5, limit("mash brim", "kettle", 0.0002, -3.6), grain=8.2),
        rinse=vessel("bucket", 19.0, 26.6, 1.5, limit("rinse vessel brim", "bucket", 0.0, -7.6), grain=8.2),
        boil=vessel("kettle", 36.0, 42.9, 1.5, limit("foam room", "kettle", 0.0, -6.9)),
        portions=(
            portion("a", "Eine_sehr_lange_Bezeichnung_ohne_Leerzeichen", 11.2, 1.011, "a yeast & <another>"),
            portion("b", "Шварцбир", 11.2, 1.011, "#set page(fill: red)", yeast_odds=0.41,
                    odds_to_the_mark=None),
        ),
    )  # fmt: skip


LAYOUTS: dict[str, Callable[[], RunView]] = {
    "dunk rinse in three": run_view,
    "full volume in one": full_volume,
    "poured rinse in two": poured_rinse,
    "fly rinse in four": fly_rinse,
    "extract only in six": extract_only,
    "dunk rinse in five": lambda: run_view(portions=many(5)),
    "overflowing": overflowing,
}


def order_view() -> OrderView:
    """A short day."""
    hot = about(71.4, 0.8)
    return OrderView(
        name="Orchard amber",
        steps=(
            step("starter", "Make the starter", -2 * 1440, 20, "1.5 L, stirred", volume=1.5),
            step("heat", "Heat the liquor", -340, 62, "to 71.5 °C", ("electric", "scald"), mass=34.0),
            step("mash", "Mash", -278, 60, "66 °C, lid on", (), ("temperature", "thermometer", hot)),
            step("lift", "Lift the bag, let it drain", -218, 20, "into the second pot", ("lift",),
                 ("mass", "scale", about(17.2, 1.4))),
            step("boil", "Boil", -150, 70, "lid off", ("boil over", "Keep the dog out."),
                 ("volume", "dipstick", about(42.9, 1.55)), ("gravity", "hydrometer", about(1.0441, 0.0034))),
            step("hop", "Saaz", -145, 0, "at 65 min", hop=0.0575),
            step("chill", "Chill", -80, 45, "to 20 °C", (), ("time", "clock", None)),
            step("pitch", "Pitch", 0, 10, "in turns", (), ("ph", "ph meter", about(5.2, 0.15))),
        ),
    )  # fmt: skip


def step(
    key: str, title: str, start: float, minutes: float, detail: str, cautions: tuple[str, ...] = (),
    *asked: tuple[str, str, Summary | None], **amounts: float,
) -> StepView:  # fmt: skip
    return StepView(
        key=key,
        title=title,
        start_min=start,
        minutes=minutes,
        detail=detail,
        amounts=tuple(
            AmountView(what=what, amount=size, dimension="volume" if what == "volume" else "mass")
            for what, size in amounts.items()
        ),
        reading=tuple(
            ReadingAsked(
                step="portion.long" if key == "pitch" else key,
                portion="Long" if key == "pitch" else "",
                quantity=quantity,
                instrument=instrument,
                expected=expected,
            )
            for quantity, instrument, expected in asked
        ),
        cautions=cautions,
        heat_source="element" if key in ("heat", "boil") else None,
        vessel="kettle",
    )


def sheet_view(**changes: Any) -> SheetView:
    fields: dict[str, Any] = {
        "run": run_view(),
        "order": order_view(),
        "amounts": (
            AmountView(what="Pale malt", amount=6.35, dimension="mass", note="fine crush"),
            AmountView(what="Amber malt", amount=1.854, dimension="mass"),
            AmountView(what="Mash liquor", amount=34.06, dimension="volume", note="at 71.5 °C"),
            AmountView(what="Rinse liquor", amount=12.02, dimension="volume", note="at 74 °C"),
            AmountView(
                what="Saaz, 3.4 % alpha", amount=0.0575, dimension="mass", note="65 min before the end"
            ),
            AmountView(what="Dried yeast", amount=0.0115, dimension="mass", note="Keg"),
        ),
        "brewery": "The shed",
    }
    return SheetView(**{**fields, **changes})
