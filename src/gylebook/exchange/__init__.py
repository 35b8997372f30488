"""Exchange files with the brewer: TOML and CSV; text becomes base units and back."""
