"""The demo farm: invented, two seasons old, made by the real engine and shipped ready to open."""
