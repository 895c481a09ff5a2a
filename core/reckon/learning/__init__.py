"""What a record of few seasons says beside a published range: shares, counts and days, with their intervals."""
