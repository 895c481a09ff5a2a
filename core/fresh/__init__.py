"""What is fresh, in the bucket and the cooler: how much of its days in the vase is used."""
