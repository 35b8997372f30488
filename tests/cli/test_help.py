"""The help is the first page of the manual: each command says what it does, and says it at once."""

from __future__ import annotations

import subprocess
import sys

import click
import pytest

from command_line import cli
from gylebook.faces.cli import ABOUT, COMMANDS, main

HEAVY = ("scipy", "rich", "typst", "numpy.f2py", "matplotlib", "psycopg")


def commands() -> list[tuple[str, ...]]:
    """Every command and every command under one, as typed."""
    found: list[tuple[str, ...]] = []
    context = click.Context(main)
    for name in COMMANDS:
        found.append((name,))
        command = main.get_command(context, name)
        if isinstance(command, click.Group):
            found += [(name, deed) for deed in command.list_commands(context)]
    return found


def named(path: tuple[str, ...]) -> click.Command:
    command: click.Command = main
    for name in path:
        assert isinstance(command, click.Group)
        found = command.get_command(click.Context(command), name)
        assert found is not None
        command = found
    return command


@pytest.mark.parametrize("path", commands(), ids=" ".join)
def test_every_command_says_what_it_does(path):
    answer = cli(*path, "--help")
    assert answer.code == 0
    assert answer.err == ""
    told = named(path).help or ""
    assert len(told.split()) >= 4
    assert told.rstrip().endswith((".", "...", "?"))


@pytest.mark.parametrize("path", commands(), ids=" ".join)
def test_every_option_says_what_it_is_for(path):
    for parameter in named(path).params:
        if isinstance(parameter, click.Option) and parameter.name != "help":
            assert parameter.help, parameter.name


@pytest.mark.parametrize("path", commands(), ids=" ".join)
def test_an_argument_is_spoken_of_in_the_help_of_its_command(path):
    command = named(path)
    for parameter in command.params:
        if isinstance(parameter, click.Argument):
            word = parameter.name.upper()
            assert word in (command.help or "") or isinstance(parameter.type, click.Choice), word


def test_the_list_of_commands_tells_of_each():
    listed = cli("--help").out
    for name, about in ABOUT.items():
        assert name in listed
        assert about.split()[0] in listed
    assert set(ABOUT) == set(COMMANDS)


def test_a_command_that_is_not_there_is_refused_with_the_way_to_help():
    answer = cli("frecast")
    assert answer.code == 2
    assert "frecast" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize("words", [("--help",), ("forecast", "--help"), ("brew", "read", "--help")])
def test_help_loads_nothing_heavy(words):
    check = (
        "import sys; from gylebook.faces.cli import run; code = run(sys.argv[2:]); "
        "heavy = [m for m in sys.argv[1].split(',') if m in sys.modules]; "
        "print(heavy, file=sys.stderr); sys.exit(code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", check, ",".join(HEAVY), *words], capture_output=True, text=True, check=True
    )
    assert done.stderr.strip() == "[]"


def test_the_module_runs_as_the_command_does():
    done = subprocess.run(
        [sys.executable, "-m", "gylebook.faces.cli", "--version"], capture_output=True, text=True, check=True
    )
    assert done.stdout.startswith("gylebook, version ")
