"""What can be promised, as numbers on their own: stock against promises by day, sort and life."""
