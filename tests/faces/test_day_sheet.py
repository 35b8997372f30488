"""Read the printed sheet back, as a brewer and as a machine would."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from example_views import LAYOUTS, run_view, sheet_view
from gylebook.faces.findings import DEFERRAL, caution_sentence
from gylebook.faces.sheets.day import day_sheet
from gylebook.faces.words import US
from gylebook.tasks.views import OrderView


def text_of(pdf: bytes, folder: Path) -> str:
    """The words of a PDF, lines run together."""
    program = shutil.which("pdftotext")
    if program is None:
        line = "pdftotext (Debian: poppler-utils) is missing: the words of printed sheets not tested"
        if os.environ.get("CI") == "true":
            pytest.fail(line, pytrace=False)
        pytest.skip(line)
    path = folder / "sheet.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([program, "-layout", path, "-"], check=True, capture_output=True, text=True)
    return " ".join(done.stdout.replace("\u200b", "").split())


def test_the_sheet_tells_amounts_times_ranges_and_odds(tmp_path: Path) -> None:
    text = text_of(day_sheet(sheet_view()), tmp_path)

    for words in (
        *("Orchard amber", "The shed", "6.35 kg Pale malt", "57.5 g Saaz, 3.4 % alpha", "11.5 g Dried yeast"),
        *("−5 h 40 min", "2 days before", "1 h 2 min", "expected 41.4 – 44.4", "expected 1.041 – 1.048"),
        *("91 in 100", "27.4 kg", "Long, pH, ph meter expected 5.05 – 5.35", "1.052 → 1.003"),
    ):
        assert words in text


def test_a_caution_stands_marked_at_its_step(tmp_path: Path) -> None:
    text = text_of(day_sheet(sheet_view()), tmp_path)
    boil = text[text.index("Boil lid off") :]

    assert caution_sentence("boil over").split(",")[0] in boil
    assert boil.index("▲ Wort boils over") < boil.index("▲ Keep the dog out.") < boil.index("Chill to 20 °C")


def test_the_sheet_defers_to_makers_and_local_rules(tmp_path: Path) -> None:
    text = text_of(day_sheet(sheet_view()), tmp_path)

    for part in ("makers' instructions", "local rules"):
        assert part in DEFERRAL
    assert "instructions, local rules" in text.replace("’", "'")


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_process_fits_its_sheet(name: str) -> None:
    assert day_sheet(sheet_view(run=LAYOUTS[name]())).startswith(b"%PDF-")


def test_odd_titles_survive_and_are_never_read_as_markup(tmp_path: Path) -> None:
    odd = '"So" #1 $5 *not bold* <script>alert(1)</script> \\u{41} @home `raw` [x]\x00'
    view = sheet_view(run=run_view(name=odd), brewery="Brauhaus «Ä» — שכר")

    text = text_of(day_sheet(view), tmp_path)

    assert '"So" #1 $5 *not bold* <script>alert(1)</script> \\u{41} @home `raw` [x]' in text
    assert "Brauhaus «Ä»" in text


def test_a_sign_that_no_font_may_draw_costs_no_one_the_sheet(tmp_path: Path) -> None:
    plain, odd = day_sheet(sheet_view()), day_sheet(sheet_view(run=run_view(name="Party 🍺 beer")))

    assert b"pdfuaid" in plain  # the claim; the odd sheet makes it only where a font draws the mug
    assert "Party" in text_of(odd, tmp_path)


def test_the_same_view_prints_the_same_bytes_and_no_date() -> None:
    first, again = (day_sheet(sheet_view()) for _ in range(2))

    assert first == again
    assert b"CreationDate" not in first


def test_a_brewer_who_thinks_in_pounds_gets_pounds(tmp_path: Path) -> None:
    text = text_of(day_sheet(sheet_view(), US), tmp_path)

    assert "14 lb Pale malt" in text
    assert "9.00 gal" in text


def test_a_day_without_steps_still_prints(tmp_path: Path) -> None:
    view = sheet_view(order=OrderView(name="empty", steps=()), amounts=())

    assert "How sure" in text_of(day_sheet(view), tmp_path)
