"""Give every number of a course its stable name.

In:  a course.
Out: `{name: draws}`, the one vocabulary of forecasts: what is read, solved, remembered and shown goes by it.

Idea: names are dotted words with the unit at their end, and they never change meaning: litres are at 20 °C
except a *level*, gravities are SG 20/20, shares run 0..1.
"""

from __future__ import annotations

from gylebook.figures.draws import Value
from gylebook.gyle.course import Course
from gylebook.gyle.mash import MashCourse
from gylebook.gyle.portions import PortionCourse
from gylebook.matter.extract import sg_from_plato

Named = dict[str, Value]


def named(course: Course) -> Named:
    """All numbers of a course by name."""
    out: Named = {}
    if course.mash is not None:
        _name_mash(out, course.mash)
    kettle = course.kettle
    out["kettle.preboil.volume_l"] = kettle.full.volume_l
    out["kettle.preboil.gravity"] = kettle.full.sg
    out["kettle.preboil.level_l"] = kettle.boil_level_l
    out["kettle.end.volume_l"] = kettle.end.volume_l
    out["kettle.end.gravity"] = kettle.end.sg
    out["kettle.end.level_l"] = kettle.end_level_l
    out["kettle.end.ibu"] = kettle.ibu
    out["kettle.boil_off_l_per_h"] = kettle.boil_off_l_per_h
    out["kettle.steam_kg"] = kettle.steam_kg
    out["kettle.stays_kg"] = kettle.stays_kg
    for what, litres in kettle.kept_l.items():
        out[f"kettle.stays.{what}_l"] = litres
    _name_fermenters(out, course)
    for portion in course.portions:
        _name_portion(out, portion)
    for blend in course.blends:
        stem = f"blend.{blend.blend.key}."
        out[stem + "volume_l"] = blend.volume_l
        out[stem + "fg"] = blend.fg
        out[stem + "abv"] = blend.abv
        out[stem + "ibu"] = blend.ibu
        out[stem + "colour_srm"] = blend.srm
    return out


def _name_mash(out: Named, mash: MashCourse) -> None:
    out["mash.volume_l"] = mash.level_l
    out["mash.strike_temperature_c"] = mash.strike_c
    out["mash.temperature_c"] = mash.mash_c
    out["mash.gravity"] = sg_from_plato(mash.mash_plato)
    out["bag.lift_kg"] = mash.lift_kg
    out["bag.drained_kg"] = mash.first_bag.wet_kg + mash.cloth_kg
    out["bag.end_kg"] = mash.bag.wet_kg + mash.cloth_kg
    out["grain.retained_l_per_kg"] = mash.retained_l_per_kg
    out["grain.absorption_l_per_kg"] = mash.absorption_l_per_kg
    if mash.rinse_plato is not None:
        out["rinse.gravity"] = sg_from_plato(mash.rinse_plato)
    if mash.rinse_level_l is not None:
        out["rinse.level_l"] = mash.rinse_level_l


def _name_fermenters(out: Named, course: Course) -> None:
    """What is in all fermenters together, and how much of the grist's extract got so far."""
    water = sum(p.wort.water_kg for p in course.portions)
    extract = sum(p.wort.extract_kg for p in course.portions)
    out["fermenters.volume_l"] = sum(
        (p.pitched.volume_l for p in course.portions[1:]), course.portions[0].pitched.volume_l
    )
    plato = 100.0 * extract / (water + extract)
    out["fermenters.plato"] = plato
    out["og"] = sg_from_plato(plato)
    out["ibu"] = sum(p.kettle_iso_mg for p in course.portions) / out["fermenters.volume_l"]
    out["colour_srm"] = sum(p.wort.colour_srm_l for p in course.portions) / out["fermenters.volume_l"]
    if course.mash is None:
        return
    potential = course.mash.potential_kg
    from_grist = extract - sum(p.wort.sugar_kg + p.wort.malt_kg for p in course.portions)
    reached = course.mash.wort.extract_kg
    out["efficiency.conversion"] = course.mash.dissolved_kg / potential
    out["efficiency.lauter"] = reached / course.mash.dissolved_kg
    out["efficiency.kettle"] = reached / potential
    fermenter = from_grist / potential
    out["efficiency.fermenter"] = fermenter
    out["efficiency.lost_undissolved"] = 1.0 - out["efficiency.conversion"]
    out["efficiency.lost_in_bag"] = out["efficiency.conversion"] - out["efficiency.kettle"]
    out["efficiency.lost_after"] = out["efficiency.kettle"] - fermenter


def _name_portion(out: Named, course: PortionCourse) -> None:
    stem = f"portion.{course.portion.key}."
    out[stem + "volume_l"] = course.pitched.volume_l
    out[stem + "og"] = course.pitched.sg
    out[stem + "first_fg"] = course.first_fg
    out[stem + "fg"] = course.fg
    out[stem + "abv"] = course.abv
    out[stem + "ibu"] = course.ibu
    out[stem + "colour_srm"] = course.srm
    out[stem + "packaged_l"] = course.packaged_l
    if course.portion.package.kind == "bottles":
        out[stem + "bottles"] = course.packaged_l / course.portion.package.bottle_l
