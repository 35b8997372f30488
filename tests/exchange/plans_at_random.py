"""Make plans at random, as a solver may leave them, for round trips through the file."""

from __future__ import annotations

from hypothesis import strategies as st

from gylebook.brewery.ingredients import Addition, Grain, Hop, Starter, Yeast
from gylebook.brewery.plan import (
    Aims,
    Later,
    Liquor,
    MashStep,
    Package,
    Plan,
    Portion,
    Process,
    Stand,
)

names = st.one_of(
    st.sampled_from(["Pilsner malt", "Saaz", "Kölsch", 'the "good" one', "back\\slash", "[x] # = '"]),
    st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=12),
)
keys = st.from_regex(r"[a-z0-9_]{1,8}( [a-z]{1,4})?", fullmatch=True)


def between(low, high):
    """Numbers of all lengths, as a solver gives them, and short ones, as a brewer does."""
    full = st.floats(low, high, allow_subnormal=False).filter(lambda x: x == 0 or abs(x) > 1e-6)
    return (
        st.one_of(full, st.integers(int(low) + 1, max(int(high), int(low) + 1)).map(float))
        if high > 2
        else full
    )


def days(high):
    """Days as a file keeps them: nine decimals."""
    return between(0, high).map(lambda x: round(x, 6))


def maybe(values):
    return st.one_of(st.none(), values)


@st.composite
def grists(draw):
    count = draw(st.integers(1, 4))
    by_share = draw(st.booleans())
    parts = draw(st.lists(between(0.1, 1), min_size=count, max_size=count))
    return tuple(
        Grain(
            key=f"grain-{n}" if draw(st.booleans()) else f"own{n}",
            name=draw(names),
            kind=draw(st.sampled_from(["base", "caramel", "roast", "adjunct", "malted", "raw"])),
            share=part / sum(parts) if by_share else None,
            mass_kg=None if by_share else part * 10,
            extract_dry=draw(between(0.5, 0.99)),
            extract_scatter=draw(between(0, 0.1)),
            moisture=draw(between(0, 0.2)),
            colour_ebc=draw(between(0, 1500)),
            holds_more_l_per_kg=draw(between(0, 1)),
        )
        for n, part in enumerate(parts)
    )


@st.composite
def hops(draw, boil, portions, stand):
    uses = ["first wort", "boil", "dry", *(["stand"] if stand else [])]
    made = []
    for n in range(draw(st.integers(0, 3))):
        use = draw(st.sampled_from(uses))
        weighed = use == "dry" or draw(st.booleans())
        made.append(
            Hop(
                key=f"hop {n}",
                variety=draw(names),
                alpha=draw(between(0.001, 0.3)),
                alpha_scatter=draw(between(0, 0.1)),
                use=use,
                minutes=draw(days(30) if use == "dry" else between(0, boil)),
                form=draw(st.sampled_from(["pellets", "whole"])),
                mass_kg=draw(between(0, 2)) if weighed else None,
                bitterness_share=draw(maybe(between(0, 0.3))),
                portion=draw(st.sampled_from(portions)) if use == "dry" else None,
            )
        )
    return tuple(made)


@st.composite
def yeasts(draw, starters):
    return Yeast(
        kind=draw(names),
        attenuation=draw(between(0.05, 0.99)),
        attenuation_scatter=draw(between(0, 0.3)),
        pitch_million_per_ml_plato=draw(between(0, 5)),
        low_c=draw(between(0, 20)),
        high_c=draw(between(20, 45)),
        days=draw(days(100)),
        form=draw(st.sampled_from(["liquid", "dry", "slurry"])),
        packs=draw(between(0, 20)),
        cells_billion=draw(between(0, 500)),
        age_days=draw(days(300)),
        stored_c=draw(between(-30, 40)),
        starter=draw(st.sampled_from([None, *starters])),
    )


@st.composite
def portions(draw, key, by, starters):
    return Portion(
        key=key,
        name=draw(names),
        fermenter=draw(keys),
        share=by if by is not None else None,
        volume_l=draw(maybe(between(0, 100))) if by is None else None,
        top_up_l=draw(between(0, 10)),
        yeast=draw(yeasts(starters)),
        ferment_c=draw(between(0, 45)),
        head_room=draw(maybe(between(0, 0.6))),
        package=Package(
            kind=draw(st.sampled_from(["keg", "bottles", "stays"])),
            co2_volumes=draw(maybe(between(0, 6))),
            bottle_l=draw(between(0.1, 5)),
            after_days=draw(maybe(days(300))),
        ),
        later=draw(
            maybe(
                st.builds(
                    Later,
                    kind=names,
                    after_days=days(300),
                    attenuation=between(0.05, 1),
                    attenuation_scatter=between(0, 0.3),
                    months=between(0, 60),
                )
            )
        ),
    )


@st.composite
def plans(draw):
    boil = draw(between(0, 360))
    own = draw(st.lists(keys, min_size=1, max_size=3, unique=True))
    own = [f"p{key}" for key in own]
    starters = draw(st.lists(keys, max_size=2, unique=True))
    stand = draw(maybe(st.builds(Stand, temperature_c=between(40, 100), minutes=between(0, 1440))))
    shared = draw(st.booleans())
    return Plan(
        name=draw(names),
        aims=Aims(
            volume_l=draw(maybe(between(0, 2000))),
            plato=draw(maybe(between(2.5, 35))),
            bitterness_ibu=draw(between(0, 150)),
            odds=draw(between(0.5, 0.999)),
        ),
        process=Process(
            kind=draw(st.sampled_from(["full volume", "dunk rinse", "poured rinse", "fly rinse"])),
            drain=draw(st.sampled_from(["pressed", "hung", "briefly hung", "tun"])),
            crush=draw(st.sampled_from(["fine", "ordinary", "coarse"])),
            stirred_rinse=draw(st.booleans()),
            rinse_c=draw(between(5, 85)),
            mash_out=draw(st.booleans()),
        ),
        liquor=Liquor(
            mash_l=draw(maybe(between(0, 2000))),
            rinse_l=draw(maybe(between(0, 2000))),
            kettle_l=draw(between(0, 100)),
        ),
        grist=draw(grists()),
        mash=tuple(
            draw(
                st.lists(
                    st.builds(MashStep, temperature_c=between(40, 80), minutes=between(0, 1440)),
                    min_size=1,
                    max_size=3,
                )
            )
        ),
        boil_minutes=boil,
        hops=draw(hops(boil, own, stand)),
        additions=tuple(
            Addition(
                key=f"it-{n}",
                name=draw(names),
                mass_kg=draw(between(0, 5)),
                extract=draw(between(0, 1)),
                fermentable=draw(between(0, 1)),
                at=draw(st.sampled_from(["boil", "kettle end", *own])),
                minutes=draw(between(0, 100)),
                finings=draw(st.booleans()),
            )
            for n in range(draw(st.integers(0, 2)))
        ),
        stand=stand,
        chill_c=draw(between(0, 45)),
        starters=tuple(
            Starter(
                key=key,
                kind=draw(st.sampled_from(["none", "still", "shaken", "stirred"])),
                plato=draw(between(1, 20)),
                volume_l=draw(maybe(between(0, 20))),
                days_before=draw(between(0, 30)),
            )
            for key in starters
        ),
        portions=tuple(draw(portions(key, 0.9 / len(own) if shared else None, starters)) for key in own),
    )
