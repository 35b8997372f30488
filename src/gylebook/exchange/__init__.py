"""Exchange files with the brewer: TOML plans, breweries, readings; text becomes base units and back."""
