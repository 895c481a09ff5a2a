"""How a hanging bunch dries: its curve, the end of it with its width, moisture, the weight that is kept."""
