"""Print what a brewer takes along: a PDF for the day, one to prime by, labels."""

from gylebook.faces.sheets.day import day_sheet

__all__ = ["day_sheet"]
