"""Hold every room to the imports that it may make, and see the checker refuse all others.

A contract that has never failed proves nothing: a copy of the tree gets one intruder in each room, which
imports everything that it must not.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

MAY_IMPORT = {
    "errors": set(),
    "figures": {"errors"},
    "matter": {"errors", "figures"},
    "process": {"errors", "figures", "matter"},
    "brewery": {"errors", "figures"},
    "gyle": {"errors", "figures", "matter", "process", "brewery"},
    "data": {"errors"},
    "decide": {"errors", "figures", "brewery", "gyle"},
    "infer": {"errors", "figures"},
    "record": {"errors", "figures", "brewery"},
    "exchange": {"errors", "figures", "brewery", "record", "data"},
    "tasks": {
        *("errors", "figures", "matter", "process", "brewery"),
        *("gyle", "decide", "infer", "record", "exchange"),
    },
    "faces": {"errors", "figures", "brewery", "tasks"},
}
ROOMS = [room for room in MAY_IMPORT if room != "errors"]  # errors is one module, not a folder


def check_borders(folder: Path) -> tuple[int, str]:
    """Exit code and words of the checker on the `gylebook` in a folder."""
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache", "--no-logo", ROOT / ".importlinter"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder)},
        capture_output=True,
        text=True,
    )
    return done.returncode, done.stdout + done.stderr


@pytest.fixture(scope="module")
def trespass(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the checker says of a tree in which every room sends someone over every border."""
    folder = tmp_path_factory.mktemp("trespass")
    shutil.copytree(
        ROOT / "src" / "gylebook", folder / "gylebook", ignore=shutil.ignore_patterns("__pycache__")
    )
    everything = "".join(f"import gylebook.{room}\n" for room in MAY_IMPORT)
    for room in ROOMS:
        (folder / "gylebook" / room / "intruder.py").write_text(
            f"{everything}import gylebook\nimport sqlalchemy\nimport click\nimport time\n"
        )
    exit_code, words = check_borders(folder)
    assert exit_code == 1, words
    return words


def test_the_rooms_import_only_what_they_may() -> None:
    exit_code, words = check_borders(ROOT / "src")

    assert exit_code == 0, words


def test_every_folder_of_the_program_is_a_room() -> None:
    folders = {path.parent.name for path in (ROOT / "src" / "gylebook").glob("*/__init__.py")}

    assert folders == set(ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_that_crosses_a_border_is_stopped(room: str, trespass: str) -> None:
    for other in ROOMS:
        crossing = f"gylebook.{room}.intruder -> gylebook.{other} "
        allowed = other in MAY_IMPORT[room] | {room}
        assert (crossing in trespass) is not allowed, crossing


def test_only_the_record_may_speak_sql(trespass: str) -> None:
    stopped = [room for room in ROOMS if f"gylebook.{room}.intruder -> sqlalchemy" in trespass]

    assert stopped == [room for room in ROOMS if room != "record"]


def test_only_faces_may_write_to_the_terminal(trespass: str) -> None:
    stopped = [room for room in ROOMS if f"gylebook.{room}.intruder -> click" in trespass]

    assert stopped == [room for room in ROOMS if room != "faces"]


def test_no_equation_and_no_forecast_reads_the_clock(trespass: str) -> None:
    stopped = [room for room in ROOMS if f"gylebook.{room}.intruder -> time" in trespass]

    assert stopped == ["matter", "process", "gyle"]


def test_no_room_borrows_the_names_lent_to_a_notebook(trespass: str) -> None:
    for room in ROOMS:
        assert f"gylebook.{room}.intruder -> gylebook (" in trespass
