"""Learn from readings: named draws and likelihoods in, conditioned draws out; it knows no brewing."""
