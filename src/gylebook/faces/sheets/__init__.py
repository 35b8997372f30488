"""Print what a brewer takes along: a PDF for the day."""

from gylebook.faces.sheets.day import day_sheet

__all__ = ["day_sheet"]
