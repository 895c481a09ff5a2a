"""Weather in the farm's book: the station's file, her own ground, odds kept as frost dates, tonight, warmth."""
