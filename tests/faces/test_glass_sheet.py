"""The printed test: a key that shares no page with a slip, and slips that tell nothing."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path
from uuid import UUID

import pytest

from gylebook.brewery.tasting import Poured, Tasting
from gylebook.decide.tasting import serving
from gylebook.faces.sheets.glass import glass_sheet, page_data
from gylebook.tasks.tasting import TastingInBook

ID = UUID("00000000-0000-4000-8000-000000000001")
BEERS = ("Gate amber", "Hedge amber", "Loft amber")


def made(kind="triangle", beers=2, tasters=12, rounds=1, names=BEERS, trait="") -> TastingInBook:
    tasting = Tasting(
        kind=kind,
        poured=tuple(
            Poured(brew_id="b", brew="spring", portion=f"p{n}", name=names[n]) for n in range(beers)
        ),
        tasters=tasters,
        rounds=rounds,
        trait=trait,
        foretold=None,
        seed=3,
        glass_ml=50.0,
        sets=serving(kind, beers, tasters, rounds, 3),
    )
    return TastingInBook(
        number=41, id=ID, brew_id=ID, at="2026-04-18T19:00+02:00", tasting=tasting, answers=()
    )


def pages_of(pdf: bytes, folder: Path) -> list[str]:
    program = shutil.which("pdftotext")
    if program is None:
        line = "pdftotext (Debian: poppler-utils) is missing: the words of printed sheets not tested"
        if os.environ.get("CI") == "true":
            pytest.fail(line, pytrace=False)
        pytest.skip(line)
    path = folder / "sheet.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([program, "-layout", path, "-"], check=True, capture_output=True, text=True)
    return [" ".join(page.replace("\u200b", "").split()) for page in done.stdout.split("\f")]


@pytest.mark.parametrize(("kind", "beers"), [("triangle", 2), ("tetrad", 2), ("paired", 2), ("ranking", 3)])
def test_no_page_with_a_slip_names_a_beer(tmp_path, kind, beers):
    found = made(kind, beers, tasters=20)

    pages = pages_of(glass_sheet(found), tmp_path)

    slips = [page for page in pages if "I am" in page or "least" in page]
    assert len(slips) >= 3
    for page in slips:
        assert not any(name in page for name in BEERS)
        assert not re.search(r"\d{3} [ABC]\b", page)
        assert "No taster may see this page" not in page


def test_every_glass_stands_on_the_key_and_on_a_slip(tmp_path):
    found = made("tetrad", tasters=7, rounds=2)

    pages = pages_of(glass_sheet(found), tmp_path)
    key = pages[0]
    slips = " ".join(pages[1:])

    for one in found.tasting.sets:
        for code, beer in zip(one.codes, one.beers, strict=True):
            assert f"{code} {'AB'[beer]}" in key
            assert code in slips
    assert "▲ This is alcohol" in key


def test_a_name_is_never_read_as_markup_and_the_same_test_prints_the_same(tmp_path):
    found = made(names=("#sys.inputs *bold*", "B" * 90))

    pdf = glass_sheet(found)

    assert pdf == glass_sheet(found)
    assert "#sys.inputs *bold*" in pages_of(pdf, tmp_path)[0]


def test_a_trait_is_asked_for_in_its_own_words():
    page = page_data(made("paired", trait="sourness"))

    assert page["question"] == "Two glasses. Which has more of this: sourness?"
