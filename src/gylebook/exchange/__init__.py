"""Exchange files with the brewer: TOML plans, breweries, readings, CSV tables; text becomes base units and back."""
