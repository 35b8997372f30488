"""Hold what is known of water, extract, spirit, light and metal: physics that knows no brewing."""
