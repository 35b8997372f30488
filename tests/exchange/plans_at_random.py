"""Make plans at random, as a solver may leave them, for round trips through the file."""

from __future__ import annotations

from hypothesis import strategies as st

from gylebook.brewery.ingredients import Addition, Grain, GrainTea, Hop, HopTea, Starter, Yeast
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
from gylebook.brewery.water import Dose, IonAim
from gylebook.exchange.substances import ALKALINE, SOURS_AS, acids, salts

IONS = ("calcium", "magnesium", "sodium", "chloride", "sulphate", "alkalinity")

names = st.one_of(
    st.sampled_from(
        ["Pilsner malt", "Saaz", "Kölsch", "dry malt extract", 'the "good" one', "back\\slash", "[x] # = '"]
    ),
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
            sours_as=draw(st.sampled_from(SOURS_AS)),
            distilled_ph=draw(maybe(between(3.5, 8))),
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
                age_days=draw(days(1000)),
                stored_c=draw(between(-30, 40)),
                storage=draw(st.sampled_from(["open", "wrapped", "sealed"])),
                half_year_loss=draw(between(0, 0.9)),
                storage_index=draw(maybe(between(0.2, 2))),
                confined=draw(st.booleans()),
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
        diastatic=draw(st.booleans()),
    )


def packages():
    return st.builds(
        Package,
        kind=st.sampled_from(["keg", "bottles", "stays"]),
        co2_volumes=maybe(between(0, 6)),
        bottle_l=between(0.1, 5),
        # Later than all that goes in.
        after_days=maybe(days(300).map(lambda late: round(300 + late, 6))),
    )


def laters():
    return st.builds(
        Later,
        kind=names,
        after_days=days(300),
        attenuation=maybe(between(0.05, 1)),
        attenuation_scatter=between(0, 0.3),
        months=between(0, 60),
    )


def grain_teas(own):
    return st.builds(
        GrainTea,
        key=keys,
        name=names,
        at=st.sampled_from(own),
        mass_kg=between(0.01, 2),
        water_l=between(0.01, 20),
        hot=st.booleans(),
        extract_dry=between(0.5, 0.99),
        moisture=between(0, 0.2),
        colour_ebc=between(0, 1500),
    )


def hop_teas(own):
    return st.builds(
        HopTea,
        key=keys,
        variety=names,
        at=st.sampled_from(own),
        mass_kg=between(0.001, 2),
        water_l=between(0.01, 20),
        minutes=between(0, 100),
        alpha=between(0.001, 0.3),
        alpha_scatter=between(0, 0.1),
        form=st.sampled_from(["pellets", "whole"]),
    ) | st.builds(
        HopTea,
        key=keys,
        variety=names,
        at=st.sampled_from(own),
        mass_kg=between(0.001, 2),
        water_l=between(1, 20),
        minutes=between(0, 100),
        alpha=between(0.001, 0.3),
        alpha_scatter=between(0, 0.1),
        of_wort=st.just(True),
        boiled_off_l=between(0, 0.5),
    )


@st.composite
def blends(draw, own):
    """At most half of each portion in each of two blends."""
    return tuple(
        Blend(
            key=key,
            name=draw(names),
            parts=tuple(
                (portion, draw(between(0.001, 0.5)))
                for portion in draw(st.lists(st.sampled_from(own), min_size=1, unique=True))
            ),
            package=draw(packages()),
        )
        for key in draw(st.lists(keys, max_size=2, unique=True))
    )


@st.composite
def portions(draw, key, by, starters):
    return Portion(
        key=key,
        name=draw(names),
        fermenter=draw(keys),
        share=by if by is not None else None,
        volume_l=draw(maybe(between(0.001, 100))) if by is None else None,
        top_up_l=draw(between(0, 10)),
        yeast=draw(yeasts(starters)),
        ferment_c=draw(between(0, 45)),
        head_room=draw(maybe(between(0, 0.6))),
        package=draw(packages()),
        later=draw(maybe(laters())),
    )


@st.composite
def ion_aims(draw):
    made = []
    for ion in IONS:
        if draw(st.booleans()):
            least, aim, most = sorted(draw(st.lists(between(0, 1000), min_size=3, max_size=3)))
            bounded = draw(st.booleans())
            made.append(
                IonAim(
                    ion=ion,
                    mg_per_l=aim,
                    least=least if bounded else 0.0,
                    most=most if draw(st.booleans()) else None,
                )
            )
    return tuple(made)


@st.composite
def doses(draw, places):
    substance = draw(st.sampled_from([*salts().values(), *acids().values()]))
    amount = round(draw(between(0.001, 1000)), 6)
    return Dose(of=substance.key, kind=substance.kind, into=draw(st.sampled_from(places)), amount=amount)


@st.composite
def liquors(draw, rinsed):
    places = ["mash", "held back", "kettle", *(["rinse"] if rinsed else [])]
    waters = draw(st.lists(keys, max_size=3, unique=True))
    parts = [draw(between(0.1, 1)) for _ in waters]
    ions = draw(ion_aims())
    purer = draw(maybe(keys.filter(lambda key: key not in waters))) if ions else None
    return Liquor(
        mash_l=draw(maybe(between(0, 2000))),
        rinse_l=draw(maybe(between(0, 2000))),
        kettle_l=draw(between(0, 100)),
        waters=tuple((key, part / sum(parts)) for key, part in zip(waters, parts, strict=True)),
        diluted_with=purer,
        ions=ions,
        rinse_ions=draw(ion_aims()) if rinsed else (),
        salts=draw(
            st.one_of(
                st.just(Liquor().salts),
                st.lists(
                    st.sampled_from([key for key in salts() if key not in ALKALINE]), max_size=9, unique=True
                ).map(tuple),
            )
        ),
        acid=draw(st.sampled_from(list(acids()))),
        alkali=draw(st.sampled_from(["", "baking-soda", "slaked-lime"])),
        rinse_alkalinity=draw(maybe(between(0, 20))) if rinsed else None,
        against_chlorine=draw(st.sampled_from(["potassium metabisulphite", "sodium metabisulphite"])),
        doses=tuple(draw(st.lists(doses(places), max_size=3))),
    )


@st.composite
def plans(draw):
    boil = draw(between(0, 360))
    own = draw(st.lists(keys, min_size=1, max_size=3, unique=True))
    own = [f"p{key}" for key in own]
    starters = draw(st.lists(keys, max_size=2, unique=True))
    stand = draw(maybe(st.builds(Stand, temperature_c=between(40, 100), minutes=between(0, 1440))))
    shared = draw(st.booleans())
    kind = draw(st.sampled_from(["full volume", "dunk rinse", "poured rinse", "fly rinse"]))
    return Plan(
        name=draw(names),
        aims=Aims(
            volume_l=draw(maybe(between(0, 2000))),
            plato=draw(maybe(between(2.5, 35))),
            bitterness_ibu=draw(between(0.001, 150)),
            mash_ph=draw(maybe(between(4.6, 6.5))),
            odds=draw(between(0.5, 0.999)),
        ),
        process=Process(
            kind=kind,
            drain=draw(st.sampled_from(["pressed", "hung", "briefly hung", "tun"])),
            crush=draw(st.sampled_from(["fine", "ordinary", "coarse"])),
            stirred_rinse=draw(st.booleans()),
            rinse_c=draw(between(5, 85)),
            mash_out=draw(st.booleans()),
        ),
        liquor=draw(liquors(rinsed=kind != "full volume")),
        grist=draw(grists()),
        mash=tuple(
            draw(
                st.lists(
                    st.builds(MashStep, temperature_c=between(40, 80), minutes=between(1, 1440)),
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
                malt=draw(st.booleans()),
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
                first_steps_l=tuple(draw(st.lists(between(0.01, 5), max_size=2))),
                cold_crash=draw(st.booleans()),
                slurry_l=draw(st.one_of(st.just(0.15), between(0.001, 2))),
            )
            for key in starters
        ),
        portions=tuple(draw(portions(key, 0.9 / len(own) if shared else None, starters)) for key in own),
        grain_teas=tuple(draw(st.lists(grain_teas(own), max_size=2, unique_by=lambda tea: tea.key))),
        hop_teas=tuple(draw(st.lists(hop_teas(own), max_size=2, unique_by=lambda tea: tea.key))),
        blends=draw(blends(own)),
        bitterness_by=draw(st.sampled_from(["trade rule", "kinetics"])),
    )
