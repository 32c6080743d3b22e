"""Room in boxes: volumes, what counts, what is too full."""
