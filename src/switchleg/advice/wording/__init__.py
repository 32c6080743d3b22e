"""What things are called, for the region at hand."""
