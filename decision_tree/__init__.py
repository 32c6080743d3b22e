"""What the tool knows: data files only."""
