"""Run the command line as a module."""

import sys

from gylebook.faces.cli import run

sys.exit(run())
