"""From the cut to the box: lots, buckets, the drying lines, the wiring bench, and what is left of each."""
