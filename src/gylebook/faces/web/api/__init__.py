"""The same deeds for other programs, as JSON."""
