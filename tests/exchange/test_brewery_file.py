"""A brewery file is read, filled up with what is usual, or refused with every fault at once."""

from __future__ import annotations

import pytest

from exchange.example_files import DOUBLE, FIXED, changed, refusal, text_of
from gylebook.brewery.site import HouseFigure
from gylebook.exchange.brewery_file import read_brewery

SHED = text_of(FIXED / "brewery.toml")
POTS = text_of(DOUBLE / "brewery.toml")


def refused(*changes, text=SHED):
    return refusal(read_brewery, changed(text, *changes), "brewery.toml")


def read(*changes, text=SHED):
    return read_brewery(changed(text, *changes), where="brewery.toml")


def test_the_shed_is_read_in_the_units_of_its_nouns():
    shed = read()

    assert (shed.altitude_m, shed.room_c, shed.liquor_c, shed.patience_heat_min) == (210.0, 16.0, 11.0, 100.0)
    kettle = shed.vessels["kettle"]
    assert (kettle.capacity_l, kettle.diameter_cm, kettle.mass_kg) == (50.0, 40.0, 9.0)
    assert [(s.power_kw, s.vessels) for s in shed.heat_sources] == [
        (3.5, ("kettle",)),
        (2.0, ("second pot",)),
    ]
    assert (shed.chiller.area_m2, shed.bag.hoist_kg, len(shed.fermenters)) == (0.45, 40.0, 4)


def test_a_tun_is_a_vessel_to_mash_in_besides_the_kettle():
    assert read().tun is None
    assert read(('rinse = "second pot"', 'tun = "second pot"')).tun == "second pot"


def test_inches_are_centimetres_in_the_end():
    assert read(('diameter = "40 cm"', 'diameter = "16 in"')).vessels["kettle"].diameter_cm == pytest.approx(
        40.64
    )


def test_a_pot_of_unknown_mass_weighs_as_a_thin_steel_pot_does():
    assert read(text=POTS).vessels["kettle"].mass_kg == pytest.approx(9.6)


def test_the_usual_instruments_are_there_without_being_named():
    instruments = read(text=POTS).instruments

    assert set(instruments) == {
        "hydrometer", "refractometer", "dipstick", "scale", "thermometer", "ph meter", "clock", "tally"
    }  # fmt: skip
    assert (instruments["dipstick"].error, instruments["dipstick"].bias) == (0.35, 0.25)


def test_an_own_instrument_replaces_the_usual_one_of_its_name():
    own = (
        '[instruments.hydrometer]\nname = "Old one"\nkind = "hydrometer"\n'
        'bias = "0.002 SG"\ncalibrated = "60 °F"\n'
    )
    dial = '[instruments.dial]\nkind = "thermometer"\nerror = "1 °F"\n'

    instruments = read_brewery(POTS + own + dial, where="brewery.toml").instruments

    old = instruments["hydrometer"]
    assert (old.name, old.error, old.bias) == ("Old one", 0.0008, 0.002)
    assert old.calibrated_c == pytest.approx(15.556, abs=0.001)
    assert instruments["dial"].error == pytest.approx(5 / 9)
    assert "thermometer" in instruments


def test_a_house_figure_keeps_the_unit_of_its_level():
    house = (
        '[house]\n"conversion" = { level = "92 %", scatter = "2 %" }\n'
        'boil-off = { level = "1 gal/h", scatter = "0.5 L/h" }\n'
        'held = { level = "0.6 L/kg", scatter = "0.1 L/kg" }\nfactor = { level = "1.02", scatter = "0.01" }\n'
        'loss = { level = "60 °F", scatter = "9 °F" }\n'
    )

    figures = read_brewery(POTS + house, where="brewery.toml").house

    assert figures["conversion"] == HouseFigure(level=0.92, scatter=0.02)
    assert figures["boil-off"].level == pytest.approx(3.785, abs=0.001)
    assert figures["boil-off"].scatter == 0.5
    assert figures["held"] == HouseFigure(level=0.6, scatter=0.1)
    assert figures["factor"] == HouseFigure(level=1.02, scatter=0.01)
    assert figures["loss"].scatter == pytest.approx(5.0)


def test_a_timed_cooling_is_taken_in_place_of_the_area():
    known = 'known = { volume = "23 L", to = "25 °C", time = "25 min" }'

    chiller = read(('area = "0.45 m2"', known)).chiller

    assert chiller.area_m2 is None
    assert (chiller.known.volume_l, chiller.known.to_c, chiller.known.minutes) == (23.0, 25.0, 25.0)


def test_a_brewery_without_chiller_lets_its_wort_stand():
    assert read(('[chiller]\nkind = "coil"\narea = "0.5 m2"\n', ""), text=POTS).chiller.kind == "none"


def test_every_fault_of_a_file_is_told_at_once_with_its_line():
    told = refused(
        ('altitude = "210 m"', 'altitude = "8848 m"'),
        ('capacity = "50 L"', 'capacity = "5000 L"'),
        ('power = "3.5 kW"', 'powr = "3.5 kW"'),
        ('metal = "stainless"', 'metal = "steel"'),
        ('error = "0.3 L"', "error = 0.3"),
    ).split("\n")

    assert [line.split(":")[0] for line in told] == [
        "brewery.toml line 4, altitude",
        "brewery.toml line 14, vessels.kettle.capacity",
        "brewery.toml line 18, vessels.kettle.metal",
        "brewery.toml line 27, heat_sources.element.power",
        "brewery.toml line 30, heat_sources.element.powr",
        "brewery.toml line 83, instruments.dipstick.error",
    ]
    assert "“8848 m” understood as 8848 m; altitude lies from 0 to 6000 m." in told[0]
    assert "capacity lies from 0.5 to 2000 L" in told[1]
    assert "did you mean “power”?" in told[4]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('kettle = "kettle"', 'kettle = "ketle"',
         "line 7, kettle: there is no vessel “ketle”; did you mean “kettle”?"),
        ('rinse = "second pot"', 'rinse = "bucket"',
         "there is no vessel “bucket”; Known: “kettle”, “second pot”."),
        ('rinse = "second pot"', 'rinse = "kettle"',
         "“kettle” is the kettle; the rinse needs a vessel of its own"),
        ('rinse = "second pot"', 'rinse = "second pot"\ntun = "tub"',
         "line 9, tun: there is no vessel “tub”; Known: “kettle”, “second pot”."),
        ('rinse = "second pot"', 'tun = "kettle"',
         "line 8, tun: “kettle” is the kettle; the tun needs a vessel of its own"),
        ('vessels = ["kettle"]', 'vessels = ["cauldron"]',
         "heat_sources.element.vessels[1]: there is no vessel"),
        ('mass = "5 kg"', 'mass = "5 kg"\nmay_be_heated = false',
         "“second pot” may not be heated; leave it out"),
        ('mass = "9 kg"', 'mass = "9 kg"\nmay_be_heated = false', "the kettle may not be heated"),
        ('area = "0.45 m2"\n', "", "chiller.area: neither area nor known"),
        ('dead_volume = "1.2 L"', 'dead_volume = "60 L"',
         "60 L of 50 L; less than its capacity stays behind"),
        ('mass = "9 kg"', 'mass = "-9 kg"', "a mass is not below zero"),
        ('kind = "hydrometer"', 'kind = "spindle"', "One of hydrometer, refractometer, dipstick"),
        ('error = "0.0008"', 'error = "0.8"', "error lies from 0 to 0.02 SG"),
        ('kind = "hydrometer"', 'kind = "hydrometer"\ncalibrated = "0 °C"',
         "calibrated understood as 0 °C; the scale of a hydrometer is made for 10 to 25 °C."),
        ('error = "0.3 L"', 'error = "0 L"', "no instrument reads without error"),
        ('error = "0.3 L"', 'error = "0.3 kg"', "understood as 0.3 kg; here a volume is wanted"),
        ('[bag]\nmass = "0.35 kg"', '[bag]\nmass = "35 kg"', "mass lies from 0 to 20 kg"),
    ],
)  # fmt: skip
def test_each_slip_is_refused_with_what_would_be_accepted(old, new, words):
    assert words in refused((old, new))


@pytest.mark.parametrize(
    ("figure", "words"),
    [
        ('{ level = "92 %" }', "house.conversion.scatter: missing"),
        ('{ level = "92 %", scatter = "2 L" }', "house.conversion.scatter: “2 L” is understood as 2 L"),
        ('{ level = "lots", scatter = "2 %" }', "house.conversion.level: “lots” is not a number with a unit"),
        ('{ level = 0.92, scatter = "2 %" }', "text in quotes is wanted here"),
        ('{ level = "1.0", scatter = "-1" }', "a scatter is zero or more"),
    ],
)  # fmt: skip
def test_a_house_figure_needs_level_and_scatter_of_one_kind(figure, words):
    assert words in refusal(read_brewery, f"{POTS}\n[house]\nconversion = {figure}\n", "brewery.toml")


def test_an_empty_file_is_told_what_a_brewery_needs():
    told = refusal(read_brewery, "", "brewery.toml")

    for key in ("name", "kettle", "vessels", "heat_sources", "fermenters"):
        assert f"brewery.toml, {key}: missing;" in told
