"""Hold every file to the shape that a reader may count on: short, introduced, sourced, at home anywhere."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LONGEST = 400

# Names that standards give to their vocabularies look like addresses, and loopback is no one's address.
ADDRESS = re.compile(r"https?://(?!www\.w3\.org/|json-schema\.org/|127\.0\.0\.1\b|localhost\b)[\w\[]")
MACHINE_PATH = re.compile(r"(?<![\w.*])/(?:root|home|tmp|work|opt|Users)/\w")
MERGE_MARK = re.compile(r"^(?:<{7}|>{7}|={7})(?: |$)")
OUTSIDE_TREE = re.compile(r"\.\./shared\b")


def own_files(*patterns: str) -> list[Path]:
    """Files of the project, those not yet committed too, without what git is told to ignore."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z", "--", *patterns],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return sorted(path for name in listed.stdout.split("\0") if name and (path := ROOT / name).is_file())


def names(paths: list[Path]) -> list[str]:
    """How a reader finds these files."""
    return [str(path.relative_to(ROOT)) for path in paths]


def lines_matching(pattern: re.Pattern[str]) -> list[str]:
    """Every line of the project's own text that a pattern finds, with its file and number."""
    found = []
    for path in own_files():
        content = path.read_bytes()
        if b"\0" in content:  # a picture or a printed page
            continue
        for number, line in enumerate(content.decode("utf-8").splitlines(), start=1):
            if pattern.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()}")
    return found


def loaded_by(statement: str) -> set[str]:
    """Top-level packages that a fresh Python has loaded after one statement."""
    code = f"import sys; {statement}; print(*{{name.partition('.')[0] for name in sys.modules}})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


def imported_packages(path: Path) -> set[str]:
    """Top-level packages that a file names in its imports."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found


def test_no_python_file_is_too_long_to_read_in_one_sitting() -> None:
    long = [
        path for path in own_files("*.py") if len(path.read_text(encoding="utf-8").splitlines()) > LONGEST
    ]

    assert names(long) == []


def test_every_module_says_in_its_first_line_what_it_is_for() -> None:
    def introduces_itself(path: Path) -> bool:
        docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
        return docstring is not None and docstring.partition("\n")[0].endswith(".")

    assert names([path for path in own_files("*.py") if not introduces_itself(path)]) == []


@pytest.mark.parametrize("folder", ["src/gylebook/data", "tests/published"])
def test_every_table_names_its_source_on_its_first_line(folder: str) -> None:
    def names_source(path: Path) -> bool:
        with path.open(encoding="utf-8") as table:
            return bool(re.match(r"# .*\w{3}", table.readline()))

    assert names([path for path in own_files(f"{folder}/*.csv") if not names_source(path)]) == []


@pytest.mark.parametrize(
    "pattern",
    [
        pytest.param(ADDRESS, id="an address"),
        pytest.param(MACHINE_PATH, id="a path of one machine"),
        pytest.param(OUTSIDE_TREE, id="a file outside the project"),
        pytest.param(MERGE_MARK, id="a merge that was never ended"),
    ],
)
def test_no_file_needs(pattern: re.Pattern[str]) -> None:
    assert lines_matching(pattern) == []


@pytest.mark.parametrize(
    ("pattern", "line"),
    [
        (ADDRESS, "see https:" + "//brewing.example/tables"),
        (MACHINE_PATH, "read('" + "/home" + "/ann/book.gyle')"),
        (OUTSIDE_TREE, "open('.." + "/shared/table.csv')"),
        (MERGE_MARK, "<" * 7 + " ours"),
    ],
)
def test_a_line_that_ties_the_program_to_one_place_is_found(pattern: re.Pattern[str], line: str) -> None:
    assert pattern.search(line)


def test_the_physics_loads_without_slow_packages() -> None:
    assert not loaded_by("import gylebook.matter") & {
        "scipy",
        "pydantic",
        "sqlalchemy",
        "click",
        "rich",
        "typst",
    }


def test_the_command_line_starts_without_slow_packages() -> None:
    slow = {"scipy", "rich", "typst", "alembic"}

    assert not loaded_by("import gylebook.faces.cli") & slow


def test_the_program_names_every_package_that_it_imports() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        project = tomllib.load(file)["project"]
    asked_for = [*project["dependencies"], *project["optional-dependencies"]["postgres"]]
    declared = {re.split(r"[^\w-]", requirement)[0] for requirement in asked_for}
    declared.add("pydantic_core")  # pydantic's own other half, where it keeps the types of its errors

    imported = set().union(*(imported_packages(path) for path in own_files("src/*.py")))

    assert imported - sys.stdlib_module_names - {"gylebook"} <= declared
