"""Planning backward: from the stems promised to the seed, and what room that takes."""
