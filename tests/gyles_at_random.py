"""Let Hypothesis think up gyles: any process, grist, sugars, teas, portions and figures, tails included."""

from __future__ import annotations

from hypothesis import strategies as st

from example_gyles import grain, hop, portion, sugar, yeast
from gylebook.brewery.ingredients import Addition, Grain, GrainTea, Hop, HopTea, Starter
from gylebook.brewery.plan import (
    Aims,
    Blend,
    Later,
    Liquor,
    MashStep,
    Package,
    Plan,
    Portion,
    Process,
    Stand,
)
from gylebook.figures.draws import Array, standard_normal_latents

KINDS = ("full volume", "dunk rinse", "poured rinse", "fly rinse", "extract only")
KEYS = ("one", "two", "three", "four", "five", "six")


@st.composite
def grists(draw: st.DrawFn, total_kg: float) -> tuple[Grain, ...]:
    """One to six grains that weigh `total_kg` together."""
    parts = draw(st.lists(st.floats(0.05, 1.0), min_size=1, max_size=6))
    return tuple(
        grain(
            f"grain {number}",
            total_kg * part / sum(parts),
            kind=draw(st.sampled_from(["base", "caramel", "roast", "adjunct"])),
            extract_dry=draw(st.floats(0.60, 0.85)),
            moisture=draw(st.floats(0.02, 0.14)),
            holds_more_l_per_kg=draw(st.sampled_from([0.0, 0.15])),
        )
        for number, part in enumerate(parts)
    )


@st.composite
def hop_bills(draw: st.DrawFn, keys: tuple[str, ...]) -> tuple[Hop, ...]:
    """Up to four additions of any use, fresh or from the back of the store."""
    bill = []
    for number in range(draw(st.integers(0, 4))):
        use = draw(st.sampled_from(["first wort", "boil", "stand", "dry"]))
        bill.append(
            hop(
                f"hop {number}",
                draw(st.floats(0.0, 0.1)),
                use=use,
                minutes=draw(st.floats(0.0, 90.0)),
                form=draw(st.sampled_from(["pellets", "whole"])),
                portion=draw(st.sampled_from(keys)) if use == "dry" else None,
                age_days=draw(st.sampled_from([0.0, 30.0, 700.0])),
                stored_c=draw(st.sampled_from([-18.0, 4.0, 25.0])),
                storage=draw(st.sampled_from(["open", "wrapped", "sealed"])),
                storage_index=draw(st.sampled_from([None, None, 0.2, 0.6, 1.5])),
                confined=draw(st.booleans()),
            )
        )
    return tuple(bill)


@st.composite
def divisions(draw: st.DrawFn) -> tuple[Portion, ...]:
    """One to six portions, by shares that may leave something over or by volumes that may be too much."""
    keys = KEYS[: draw(st.integers(1, 6))]
    parts = draw(st.lists(st.floats(0.2, 1.0), min_size=len(keys), max_size=len(keys)))
    by_share, poured = draw(st.booleans()), draw(st.floats(0.5, 1.0))
    return tuple(
        portion(
            key,
            poured * part / sum(parts) if by_share else None,
            volume_l=None if by_share else 20.0 * part,
            top_up_l=draw(st.sampled_from([0.0, 3.0])),
            yeast=yeast(starter=draw(st.sampled_from([None, "flask"]))),
            package=Package(kind=draw(st.sampled_from(["keg", "bottles", "stays"]))),
            later=draw(
                st.sampled_from(
                    [
                        None,
                        Later(
                            kind="brett",
                            after_days=20.0,
                            attenuation=0.92,
                            attenuation_scatter=0.03,
                            months=6.0,
                        ),
                    ]
                )
            ),
        )
        for key, part in zip(keys, parts, strict=True)
    )


@st.composite
def additions(draw: st.DrawFn, keys: tuple[str, ...]) -> tuple[Addition, ...]:
    """Up to three sugars, lactose and finings among them, in the kettle or in a portion."""
    bill = []
    for number in range(draw(st.integers(0, 3))):
        at = draw(st.sampled_from(["boil", "kettle end", *keys]))
        # The least portion is a glass of wort, and the density scale ends at 35 °P and, below the thinnest
        # beer of grain, at -2 °P: a strong wash of sugar ends lighter.
        most_kg = 0.002 if at in keys else 0.1
        bill.append(
            sugar(
                f"sugar {number}",
                most_kg * draw(st.floats(0.05, 1.0)),
                extract=draw(st.sampled_from([0.0, 0.8, 1.0])),
                fermentable=draw(st.sampled_from([0.0, 0.6, 1.0])),
                at=at,
                malt=draw(st.booleans()),
            )
        )
    return tuple(bill)


@st.composite
def grain_teas(draw: st.DrawFn, keys: tuple[str, ...]) -> tuple[GrainTea, ...]:
    """Up to two teas, of which one may be thinner than its grain."""
    return tuple(
        GrainTea(
            key=f"tea {number}",
            name="roast",
            at=draw(st.sampled_from(keys)),
            mass_kg=draw(st.floats(0.01, 0.3)),
            water_l=draw(st.floats(0.1, 2.0)),
            hot=draw(st.booleans()),
            extract_dry=0.6,
            moisture=0.04,
            colour_ebc=draw(st.floats(50.0, 1500.0)),
        )
        for number in range(draw(st.integers(0, 2)))
    )


@st.composite
def hop_teas(draw: st.DrawFn, keys: tuple[str, ...]) -> tuple[HopTea, ...]:
    """One hop tea or none."""
    return tuple(
        HopTea(
            key=f"hop tea {number}",
            variety="late",
            at=draw(st.sampled_from(keys)),
            mass_kg=draw(st.floats(0.001, 0.02)),
            water_l=draw(st.floats(0.1, 2.0)),
            minutes=draw(st.floats(0.0, 60.0)),
            alpha=0.08,
            alpha_scatter=0.008,
        )
        for number in range(draw(st.integers(0, 1)))
    )


@st.composite
def blendings(draw: st.DrawFn, keys: tuple[str, ...]) -> tuple[Blend, ...]:
    """Up to two blends, which between them take no portion more than once over."""
    return tuple(
        Blend(
            key=f"blend {number}",
            name=f"blend {number}",
            parts=tuple((key, draw(st.floats(0.05, 0.5))) for key in keys[: draw(st.integers(1, len(keys)))]),
            package=Package(kind="keg"),
        )
        for number in range(draw(st.integers(0, 2)))
    )


@st.composite
def starters(draw: st.DrawFn) -> tuple[Starter, ...]:
    """One flask of any kind, stepped up or settled."""
    return (
        Starter(
            key="flask",
            kind=draw(st.sampled_from(["none", "still", "shaken", "stirred"])),
            volume_l=2.0,
            first_steps_l=draw(st.sampled_from([(), (0.5,), (0.2, 0.8)])),
            cold_crash=draw(st.booleans()),
        ),
    )


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """A plan with every amount given, that some kettle could hold."""
    kind = draw(st.sampled_from(KINDS))
    portions = draw(divisions())
    keys = tuple(p.key for p in portions)
    added = draw(additions(keys))
    grain_kg, thickness = draw(st.floats(6.0, 20.0)), draw(st.floats(2.5, 7.0))
    mashed = kind != "extract only"
    if not mashed:
        added = (sugar("dried extract", 3.0, extract=0.96, fermentable=0.6, minutes=60.0), *added)
    rinsed = kind not in ("full volume", "extract only")
    hot = draw(st.booleans())
    return Plan(
        name="any",
        aims=Aims(),
        process=Process(
            kind=kind,
            drain=draw(st.sampled_from(["pressed", "hung", "briefly hung", "tun"])),
            crush=draw(st.sampled_from(["fine", "ordinary", "coarse"])),
            stirred_rinse=draw(st.booleans()),
            mash_out=draw(st.booleans()),
        ),
        liquor=Liquor(
            mash_l=grain_kg * thickness if mashed else 25.0,
            rinse_l=grain_kg * draw(st.sampled_from([0.0, 0.3, 1.0, 3.0])) if rinsed else None,
            kettle_l=draw(st.sampled_from([0.0, 4.0])),
        ),
        grist=draw(grists(grain_kg)) if mashed else (),
        mash=tuple(
            MashStep(temperature_c=warm, minutes=minutes)
            for warm, minutes in sorted(
                draw(st.lists(st.tuples(st.floats(40.0, 80.0), st.floats(5.0, 90.0)), min_size=1, max_size=3))
            )
        )
        if mashed
        else (),
        boil_minutes=draw(st.floats(0.0, 30.0 if any(a.at in keys for a in added) else 120.0)),
        hops=draw(hop_bills(keys)),
        additions=added,
        stand=Stand(temperature_c=draw(st.floats(60.0, 100.0)), minutes=20.0) if hot else None,
        starters=draw(starters()),
        portions=portions,
        grain_teas=draw(grain_teas(keys)),
        hop_teas=draw(hop_teas(keys)),
        blends=draw(blendings(keys)),
        bitterness_by=draw(st.sampled_from(["trade rule", "kinetics"])),
    )


@st.composite
def tails(draw: st.DrawFn, figures: int, rows: int = 40, most: float = 5.0) -> Array:
    """Ordinary latents of which some rows are stretched far out into one corner."""
    latents = standard_normal_latents(rows, figures, draw(st.integers(0, 10_000)))
    latents[rows // 2 :] *= draw(st.floats(1.0, most / 4.0))
    for _ in range(4):
        row, column = draw(st.integers(0, rows - 1)), draw(st.integers(0, figures - 1))
        latents[row, column] = draw(st.floats(-most, most))
    return latents
