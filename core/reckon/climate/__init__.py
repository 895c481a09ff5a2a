"""Weather and what follows from it: station files, frost odds, heat units, sun, air, heat, tonight's low."""
