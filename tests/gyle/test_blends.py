"""Pour finished portions together: nothing is lost, and a blend lies between its parts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewed, brewery, plan, portion, sugar, yeast
from gylebook.brewery.ingredients import GrainTea
from gylebook.brewery.plan import Blend, Package, Plan
from gylebook.gyle.blends import run_blends
from gylebook.gyle.portions import PortionCourse
from gylebook.gyle.wort import Measured, Wort
from gylebook.matter.extract import density_from_plato
from gylebook.matter.spirit import ETHANOL_DENSITY
from gylebook.process.ferment import Fermented
from published_tables import published_rows

SHED = brewery()
KEG = Package(kind="keg")


def blend(*parts: tuple[str, float]) -> Blend:
    return Blend(key="house", name="house", parts=parts, package=KEG)


def unlike() -> Plan:
    """One strong and dark portion, one thin and pale."""
    dark = GrainTea(
        key="roast",
        name="roast",
        at="one",
        mass_kg=0.4,
        water_l=2.0,
        extract_dry=0.6,
        moisture=0.04,
        colour_ebc=1200.0,
    )
    return plan(
        portions=(portion("one", yeast=yeast(attenuation=0.65)), portion("two", top_up_l=6.0)),
        additions=(sugar(at="one", mass_kg=0.8),),
        grain_teas=(dark,),
        blends=(blend(("one", 0.4), ("two", 0.5)),),
    )


def test_a_blend_lies_between_its_parts_in_everything():
    course, _ = brewed(unlike(), SHED)
    (mixed,) = course.blends
    one, two = course.portions

    for what in ("fg", "abv", "ibu", "srm"):
        low, high = (
            np.minimum(getattr(one, what), getattr(two, what)),
            np.maximum(getattr(one, what), getattr(two, what)),
        )
        assert np.all((low <= getattr(mixed, what)) & (getattr(mixed, what) <= high)), what
        assert np.all(low < high), what


def test_a_blend_takes_its_litres_alcohol_and_bitterness_from_its_parts_and_loses_none():
    course, _ = brewed(unlike(), SHED)
    (mixed,) = course.blends
    poured = [0.4 * course.portions[0].packable_l, 0.5 * course.portions[1].packable_l]

    np.testing.assert_allclose(mixed.volume_l, sum(poured), rtol=1e-12)
    for part in ("ibu", "srm"):
        brought = sum(litres * getattr(p, part) for litres, p in zip(poured, course.portions, strict=True))
        np.testing.assert_allclose(getattr(mixed, part) * mixed.volume_l, brought, rtol=1e-12)
    ethanol_l = sum(
        litres / p.beer_l * p.made.ethanol_kg / (ETHANOL_DENSITY / 1000.0)
        for litres, p in zip(poured, course.portions, strict=True)
    )
    # Litres of beer from gravity, of alcohol from mass: the same to a few parts in ten thousand.
    np.testing.assert_allclose(mixed.abv * mixed.volume_l / 100.0, ethanol_l, rtol=1e-3)


def test_what_is_blended_is_not_packed_twice():
    course, _ = brewed(unlike(), SHED)

    for p, share in zip(course.portions, (0.4, 0.5), strict=True):
        np.testing.assert_allclose(p.packaged_l, (1.0 - share) * p.packable_l, rtol=1e-12)


def test_a_portion_blended_with_nothing_else_stays_what_it_was():
    course, _ = brewed(replace(plan(), blends=(blend(("one", 1.0)),)), SHED)
    (same,), one = course.blends, course.portions[0]

    np.testing.assert_allclose(same.abv, one.abv, rtol=1e-12)
    np.testing.assert_allclose(same.fg, one.fg, rtol=1e-12)
    np.testing.assert_allclose(one.packaged_l, 0.0, atol=1e-12)


def test_portions_too_small_to_draw_anything_off_still_blend_to_something():
    tiny = portion("one", None, volume_l=0.1)
    gyle = plan(portions=(tiny, portion("two", None)), blends=(blend(("one", 1.0)),))

    course, _ = brewed(gyle, SHED)

    assert np.all(course.portions[0].packable_l == 0.0)
    assert np.all(np.asarray(course.blends[0].volume_l) < 1e-3)
    assert np.all(np.isfinite(course.blends[0].abv))


def unfermented(key: str, litres: float, plato: float, ibu: float, srm: float) -> PortionCourse:
    """Wort as if it were a beer in which nothing happened."""
    mass = np.full(1, litres * float(density_from_plato(plato)) / 1000.0)
    wort = Wort(water_kg=mass * (1.0 - plato / 100.0), extract_kg=mass * plato / 100.0)
    measured, nothing = Measured.of(wort), np.zeros(1)
    return PortionCourse(
        portion=portion(key),
        drawn=measured,
        kettle_iso_mg=nothing,
        wort=wort,
        pitched=measured,
        ibu=np.full(1, ibu),
        srm=np.full(1, srm),
        made=Fermented(wort.water_kg, wort.extract_kg, nothing, nothing, nothing),
        first_fg=measured.sg,
        fg=measured.sg,
        abv=nothing,
        beer_l=measured.volume_l,
        packable_l=measured.volume_l,
        packaged_l=measured.volume_l,
    )


def test_eight_litres_and_four_blend_as_a_worked_case_says(check):
    case = "8 L 16P 40BU 12SRM blended with 4 L 10P 20BU 5SRM"
    row = next(r for r in published_rows("beer_mixing") if r["case"] == case)
    parts = (unfermented("one", 8.0, 16.0, 40.0, 12.0), unfermented("two", 4.0, 10.0, 20.0, 5.0))

    (mixed,) = run_blends(plan(blends=(blend(("one", 1.0), ("two", 1.0)),)), parts)

    of = {"at": "blend", "source": "derived", "kind": "slip"}
    # Litres are added here, which leaves out a contraction of 0.0002 L; the gravity is that of the cubic.
    check("volume of a mixture", mixed.volume_l, float(row["volume_L"]), within=0.0003, unit="L", **of)
    check("gravity of a mixture", mixed.fg, float(row["SG"]), within=0.00004, unit="SG", **of)
    check("bitterness of a mixture", mixed.ibu, float(row["BU"]), within=0.001, unit="mg/L", **of)
    check("colour of a mixture", mixed.srm, float(row["SRM"]), within=0.001, unit="SRM", **of)
    assert float(mixed.abv[0]) == pytest.approx(0.0, abs=1e-12)
