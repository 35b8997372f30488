"""A beer goes to another brewery, another size and another brewer from the command line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from command_line import FEW, PRACTICE, cli

CANAL = "The cellar by the canal"


@pytest.fixture
def canal(shed: Path) -> Path:
    """Another brewery: softer water, a poorer lauter, less room."""
    text = (shed / "brewery.toml").read_text(encoding="utf-8")
    for old, new in (
        ("The shed behind the orchard", CANAL),
        ('alkalinity = "165', 'alkalinity = "60'),
        ('calcium = "72', 'calcium = "20'),
        ('chloride = "26', 'chloride = "12'),
        ('sulphate = "11 mg/L S"', 'sulphate = "12 mg/L"'),
    ):
        assert old in text
        text = text.replace(old, new)
    text += '\n[house.retained_l_per_kg]\nlevel = "1.2 L/kg"\nscatter = "0.1 L/kg"\n'
    path = shed / "canal.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_beer_is_told_line_by_line_on_both_breweries(shed, canal):
    answer = cli("adapt", shed / "plan.toml", "--onto", canal, "--litres", "28 L")

    assert answer.code == 0, answer.err
    assert re.search(r"Vienna malt +\d\.\d\d kg +\d\.\d\d kg +62 %", answer.out)
    assert re.search(r"Original gravity +1\.052 \(.+\) +1\.052 \(", answer.out)
    assert "What cannot be matched" in answer.out
    assert re.search(r"All \w+ limits are kept", answer.out)


def test_json_has_both_sides_in_base_units_and_says_findings_in_words(shed, canal):
    told = cli("adapt", shed / "plan.toml", "--onto", canal, "--litres", "20 L", *FEW, "--json").json

    assert told["after_l"] == pytest.approx(20.0)
    assert told["numbers"]["og"]["after"]["median"] == pytest.approx(1.052, abs=2e-4)
    vienna = next(line for line in told["amounts"] if line["what"] == "Vienna malt")
    assert vienna["before_per"] == pytest.approx(vienna["after_per"], rel=1e-6)
    assert vienna["after"] < vienna["before"]
    assert all(finding["in_words"].startswith("▲ ") for finding in told["findings"])


def test_there_and_back_in_files_is_the_first_plan_again(shed, canal):
    first = shed / "first.toml"
    there, again = shed / "there.toml", shed / "again.toml"
    cli("solve", shed / "plan.toml", "--out", first)

    cli("adapt", shed / "plan.toml", "--onto", canal, "--out", there)
    back = cli("adapt", there, "-b", canal, "--onto", shed / "brewery.toml", "--out", again)

    assert back.code == 0, back.err
    masses = [
        [
            float(mass)
            for mass in re.findall(r'^mass = "([\d.]+) k?g"', path.read_text(encoding="utf-8"), re.M)
        ]
        for path in (first, again, there)
    ]
    # Weighed to a gram of grain and a tenth of a gram of hops on the way.
    assert masses[1] == pytest.approx(masses[0], rel=3e-3, abs=0.051)
    assert masses[2] != pytest.approx(masses[0], rel=3e-3, abs=0.051)


def test_no_amount_in_the_new_plan_is_finer_than_can_be_measured_out(shed, canal):
    out = shed / "there.toml"

    cli("adapt", shed / "plan.toml", "--onto", canal, "--litres", "17.3 L", "--out", out)

    text = out.read_text(encoding="utf-8")
    assert re.findall(r'^(?!\w*_scatter)\w+ = "\d*\.\d{4,} (?:L|kg|g|IBU|%)"', text, flags=re.MULTILINE) == []
    shares = re.findall(r'^fermenter = .*\nshare = "([\d.]+) %"', text, flags=re.MULTILINE)
    assert sum(map(float, shares)) == pytest.approx(100.0, abs=1e-9)


def test_a_size_on_ones_own_gear_needs_no_other_brewery(shed):
    half = shed / "half.toml"

    answer = cli("adapt", shed / "plan.toml", "--times", "0.5", "--out", half, *FEW)

    assert answer.code == 0, answer.err
    assert re.search(r"34\.0 L +17\.0 L", answer.out)
    assert 'fermenters = "17' in half.read_text(encoding="utf-8")
    assert cli("forecast", half, *FEW).code in (0, 1)


def test_limits_that_fail_there_are_told_and_end_with_one(shed):
    answer = cli("adapt", shed / "plan.toml", "--times", "1.4", *FEW)

    assert answer.code == 1
    assert "▲ Foam room in the kettle is kept" in answer.out


def test_a_plan_with_every_amount_given_goes_to_other_gear(shed, canal):
    answer = cli("adapt", PRACTICE / "plan.toml", "--onto", canal, "--litres", "30 L", *FEW)

    assert answer.code in (0, 1)
    assert "it is not known in which water" in answer.out


def test_the_colour_can_be_kept(shed, canal):
    told = cli("adapt", shed / "plan.toml", "--onto", canal, "--keep-colour", *FEW, "--json").json

    colour = told["numbers"]["colour_srm"]
    assert colour["after"]["median"] == pytest.approx(colour["before"]["median"], rel=2e-3)


def test_both_plans_are_printed_on_paper(shed, canal, pdf_to_png, tmp_path):
    sheet = tmp_path / "beside.pdf"

    answer = cli("adapt", shed / "plan.toml", "--onto", canal, "--pdf", sheet, *FEW, "--units", "us")

    assert answer.code in (0, 1), answer.err
    assert 1 <= len(pdf_to_png(sheet, tmp_path)) <= 4
    assert b"pdfuaid" in sheet.read_bytes()


# parcels ----------------------------------------------------------------------------------------------------


@pytest.fixture
def parcel(shed: Path) -> Path:
    path = shed / "amber.parcel"
    sent = cli("send", shed / "plan.toml", "--out", path, "--as", "Ada", "--note", "Keeps well.", *FEW)
    assert sent.code == 0, sent.err
    return path


def test_what_is_sent_is_received_and_brewed_on_the_other_gear(shed, canal, parcel):
    mine = shed / "mine.toml"

    answer = cli("receive", parcel, "-b", canal, "--litres", "6 gal", "--out", mine, *FEW)

    assert answer.code in (0, 1), answer.err
    assert "from Ada" in answer.out
    assert "They write: “Keeps well.”" in answer.out
    assert re.search(r"They forecast 3\d\.\d L \(.*1\.052", answer.out)
    assert "does not prove who packed it" in re.sub(r"\s+", " ", answer.out)
    assert 'fermenters = "22.7' in mine.read_text(encoding="utf-8")


def test_a_parcel_makes_the_same_plan_as_adapting_side_by_side(shed, canal, parcel):
    by_parcel = cli("receive", parcel, "-b", canal, *FEW, "--json").json
    directly = cli("adapt", shed / "plan.toml", "--onto", canal, *FEW, "--json").json

    assert by_parcel["amounts"] == directly["amounts"]
    assert by_parcel["parcel"] == {
        "sender": "Ada",
        "note": "Keeps well.",
        "made_by": by_parcel["parcel"]["made_by"],
    }


def test_a_parcel_tells_nothing_of_the_brewery_the_machine_or_the_hour(shed, parcel):
    text = parcel.read_text(encoding="utf-8")

    for personal in ("orchard", "shed", str(shed), "2026", "capacity", "brewery.toml", "village"):
        assert personal not in text.replace("Orchard amber", "")


def test_a_damaged_parcel_is_refused_in_words(parcel, canal):
    parcel.write_text(parcel.read_text(encoding="utf-8").replace('"62 %"', '"63 %"'), encoding="utf-8")

    answer = cli("receive", parcel, "-b", canal)

    assert answer.code == 2
    assert "its content and its seal do not agree" in answer.err
    assert str(parcel.parent) not in answer.err


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["--litres", "lots"], "--litres"),
        (["--litres", "40 kg"], "--litres"),
        (["--litres", "0.01 L"], "--litres: 0.01 L; take 0.5 L to 5000 L"),
        (["--times", "0"], "from 0.7 L to 1,700.0 L"),
        (["--times", "2", "--litres", "20 L"], "give one of them"),
        (["--onto", "nowhere.toml"], "nowhere.toml: cannot be read"),
    ],
)
def test_what_nobody_can_mean_is_refused(shed, given, said):
    answer = cli("adapt", shed / "plan.toml", *given, *FEW)

    assert answer.code == 2
    assert said in answer.err
