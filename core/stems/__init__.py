"""From the cut to the box: the ledger of stems, the bucket and the cooler, the boxes, losses, and what is on hand."""
