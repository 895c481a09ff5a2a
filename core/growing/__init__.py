"""From the frost date to the bed: the season's dates, trays, hardening off, beds."""
