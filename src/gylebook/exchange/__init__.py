"""Exchange files with the brewer: TOML plans, breweries and readings; text becomes base units here and back."""
