"""Hold the wort in one vessel as joint draws of mass.

In:  kilograms of water and extract, milligrams of iso-alpha acids, and how much of the extract was
     added as sugar.
Out: `Wort`, with °P, litres at 20 °C and gravity as names for the same thing.

Idea: mass is what stays; strength and volume are derived and never stored.  Pouring makes new worts.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.figures.draws import Value
from gylebook.matter.extract import density_from_plato, sg_from_plato, wort_expansion


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wort:
    """Water and dissolved extract in one vessel. [kg, mg]

    `sugar_kg` is the part of `extract_kg` that came from additions and `fermentable_kg` what of that
    yeast can take; both are dissolved in the same wort and divide with it.
    """

    water_kg: Value
    extract_kg: Value
    iso_alpha_mg: Value = 0.0
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
            sugar_kg=self.sugar_kg * part,
            fermentable_kg=self.fermentable_kg * part,
        )


def add_liquor(wort: Wort, water_kg: Value) -> Wort:
    """The wort with clear water added or, below zero, boiled away. [kg]"""
    return Wort(
        water_kg=wort.water_kg + water_kg,
        extract_kg=wort.extract_kg,
        iso_alpha_mg=wort.iso_alpha_mg,
        sugar_kg=wort.sugar_kg,
        fermentable_kg=wort.fermentable_kg,
    )


def add_sugar(wort: Wort, mass_kg: float, extract: float, fermentable: float) -> Wort:
    """The wort with sugar, syrup or extract dissolved in it.

    `extract` is the share of the mass that is extract, the rest being water; `fermentable` the real share
    of that extract which yeast can take.
    """
    added = mass_kg * extract
    return Wort(
        water_kg=wort.water_kg + mass_kg * (1.0 - extract),
        extract_kg=wort.extract_kg + added,
        iso_alpha_mg=wort.iso_alpha_mg,
        sugar_kg=wort.sugar_kg + added,
        fermentable_kg=wort.fermentable_kg + added * fermentable,
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

    def level_l(self, temperature_c: float) -> Value:
        """What it fills when it stands hot. [L]"""
        return self.volume_l * wort_expansion(self.plato, temperature_c)
