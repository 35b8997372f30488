"""What the manual shows is run: its command lines and its Python."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from docs_console import BLOCK, PAGES, walk
from docs_tables import ROOT

SHOWING = [page for page in PAGES if BLOCK.search(page.read_text(encoding="utf-8"))]


@pytest.mark.parametrize("page", SHOWING, ids=lambda page: page.name)
def test_a_page_shows_what_the_commands_print(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("GYLEBOOK_BOOK", raising=False)

    wrong = [shown for shown in walk(page, tmp_path) if not shown.holds]

    assert not wrong, "bring the output up to date with: python tests/docs_console.py"


def test_the_python_page_runs_from_top_to_bottom(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(ROOT)
    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    names: dict[str, object] = {}

    for block in re.findall(r"```python\n(.*?)```", page, re.DOTALL):
        exec(compile(block, "docs/python.md", "exec"), names)

    printed = capsys.readouterr().out
    assert re.search(r"^3\d\.\d L, \d\d\.\d to \d\d\.\d in 90 of 100 futures$", printed, re.MULTILINE)
    assert "leave it" in printed
