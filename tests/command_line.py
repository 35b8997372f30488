"""Call the command line as a brewer would, without starting a new Python for each call.

`cli("forecast", folder / "plan.toml")` gives the exit code and what stood on the two outputs.
"""

from __future__ import annotations

import contextlib
import io
import json
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gylebook.faces.cli import run

EXAMPLE = Path(__file__).parents[1] / "examples" / "amber-three-ways"
PRACTICE = Path(__file__).parent / "practice" / "double-mash"
FEW = ("--draws", "200")  # enough where no number is looked at


@dataclass(frozen=True)
class Answer:
    """What one call gave."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The answer of a call with --json; NaN and infinity are not JSON and are refused."""
        return json.loads(self.out, parse_constant=_not_json)


def _not_json(constant: str) -> None:
    raise ValueError(f"{constant} is not JSON")


def cli(*args: object) -> Answer:
    """Run one command in this process."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = run([str(arg) for arg in args])
    return Answer(code, out.getvalue(), err.getvalue())


def refusal(*args: object) -> str:
    """What stands on stderr when a command is refused; nothing else is printed, and no Python is shown."""
    answer = cli(*args)
    assert (answer.code, answer.out) == (2, ""), answer
    assert "Traceback" not in answer.err
    assert answer.err.strip()
    return answer.err


def shed(folder: Path) -> Path:
    """A copy of the example's files in a folder of the test's own."""
    for name in ("plan.toml", "brewery.toml", "readings.toml"):
        shutil.copy(EXAMPLE / name, folder / name)
    return folder


def changed(path: Path, *changes: tuple[str, str]) -> Path:
    """The same file with each of these texts, which must be there, replaced by another."""
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return path
