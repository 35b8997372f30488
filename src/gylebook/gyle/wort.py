"""Hold the wort in one vessel as joint draws of mass.

In:  kilograms of water and extract, milligrams of iso-alpha acids, colour by Beer's law, and which part of
     the extract did not come from the mash.
Out: `Wort`, with °P, litres at 20 °C and gravity as names for the same thing.

Idea: mass is what stays; strength and volume are derived and never stored.  Pouring makes new worts, and
everything dissolved goes with the mass.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from gylebook.figures.draws import Value
from gylebook.matter.extract import density_from_plato, sg_from_plato, wort_expansion


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wort:
    """Water and dissolved extract in one vessel. [kg, mg, SRM litres]

    Part of `extract_kg` did not come from the mash: `malt_kg` was bought or steeped and ferments as a mash's
    does; of `sugar_kg`, `fermentable_kg` can be taken by yeast.
    """

    water_kg: Value
    extract_kg: Value
    iso_alpha_mg: Value = 0.0
    colour_srm_l: Value = 0.0
    malt_kg: Value = 0.0
    sugar_kg: Value = 0.0
    fermentable_kg: Value = 0.0

    @property
    def mass_kg(self) -> Value:
        """Water and extract together. [kg]"""
        return self.water_kg + self.extract_kg

    @property
    def plato(self) -> Value:
        """Extract as mass fraction of the wort. [°P = g per 100 g]"""
        return 100.0 * self.extract_kg / (self.water_kg + self.extract_kg)

    def share(self, part: Value) -> Wort:
        """The same wort, `part` of its mass."""
        return Wort(
            water_kg=self.water_kg * part,
            extract_kg=self.extract_kg * part,
            iso_alpha_mg=self.iso_alpha_mg * part,
            colour_srm_l=self.colour_srm_l * part,
            malt_kg=self.malt_kg * part,
            sugar_kg=self.sugar_kg * part,
            fermentable_kg=self.fermentable_kg * part,
        )


def pour_together(one: Wort, other: Wort) -> Wort:
    """Both in one vessel."""
    return Wort(**{f.name: getattr(one, f.name) + getattr(other, f.name) for f in fields(Wort)})


def add_liquor(wort: Wort, water_kg: Value) -> Wort:
    """The wort with clear water added or, below zero, boiled away. [kg]"""
    return replace(wort, water_kg=wort.water_kg + water_kg)


def liquor_to_weaken(volume_l: Value, plato: Value, to_plato: Value) -> Value:
    """Liquor that brings so much wort [L, °P] down to another strength; none where it is no stronger. [kg]"""
    mass = volume_l * density_from_plato(plato) / 1000.0
    return np.maximum(mass * plato / to_plato - mass, 0.0)


def add_sugar(wort: Wort, mass_kg: float, extract: float, fermentable: float) -> Wort:
    """The wort with sugar, syrup or fruit dissolved in it.

    `extract` is the share of the mass that is extract, the rest being water; `fermentable` the real share
    of that extract which yeast can take.
    """
    added = mass_kg * extract
    return replace(
        wort,
        water_kg=wort.water_kg + mass_kg * (1.0 - extract),
        extract_kg=wort.extract_kg + added,
        sugar_kg=wort.sugar_kg + added,
        fermentable_kg=wort.fermentable_kg + added * fermentable,
    )


def add_malt(
    wort: Wort, water_kg: Value, extract_kg: Value, colour_srm_l: Value = 0.0, iso_alpha_mg: Value = 0.0
) -> Wort:
    """The wort with malt extract, or a tea of grain or hops, poured in. [kg, SRM L, mg]"""
    return replace(
        wort,
        water_kg=wort.water_kg + water_kg,
        extract_kg=wort.extract_kg + extract_kg,
        malt_kg=wort.malt_kg + extract_kg,
        colour_srm_l=wort.colour_srm_l + colour_srm_l,
        iso_alpha_mg=wort.iso_alpha_mg + iso_alpha_mg,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """A wort as a brewer would measure it: strength, litres at 20 °C and gravity, worked out once."""

    mass_kg: Value
    plato: Value
    volume_l: Value
    sg: Value

    @classmethod
    def of(cls, wort: Wort) -> Measured:
        """Measure a wort at 20 °C."""
        mass = wort.mass_kg
        plato = 100.0 * wort.extract_kg / mass
        volume = 1000.0 * mass / density_from_plato(plato)
        return cls(mass_kg=mass, plato=plato, volume_l=volume, sg=sg_from_plato(plato))

    @classmethod
    def as_strong_as(cls, plato: Value, volume_l: Value) -> Measured:
        """So many litres at 20 °C of a strength. [°P, L]"""
        mass = volume_l * density_from_plato(plato) / 1000.0
        return cls(mass_kg=mass, plato=plato, volume_l=volume_l, sg=sg_from_plato(plato))

    def wort(self, ibu: Value = 0.0, srm: Value = 0.0) -> Wort:
        """A wort, all of it from the mash, that measures so and is as bitter and as dark. [mg/L, SRM]"""
        extract = self.mass_kg * self.plato / 100.0
        return Wort(
            water_kg=self.mass_kg - extract,
            extract_kg=extract,
            iso_alpha_mg=ibu * self.volume_l,
            colour_srm_l=srm * self.volume_l,
        )

    def level_l(self, temperature_c: float) -> Value:
        """What it fills when it stands hot. [L]"""
        return self.volume_l * wort_expansion(self.plato, temperature_c)
