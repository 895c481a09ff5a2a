"""The ledger of stems: every lot in every place, moved, sold, used, lost and counted."""
