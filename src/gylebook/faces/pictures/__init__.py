"""Draw what a forecast says as SVG that a page, a terminal's file and the printed sheet share."""

from gylebook.faces.pictures.run import run_picture
from gylebook.faces.pictures.run_table import Row, run_table

__all__ = ["Row", "run_picture", "run_table"]
