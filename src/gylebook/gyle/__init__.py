"""Run a plan on a brewery: the flow of water, extract, bitterness and yeast from the mash to the glass."""
