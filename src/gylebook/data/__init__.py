"""Ship tables of malts, hops, sugars and yeasts; each names its source on the first line and in every row."""
