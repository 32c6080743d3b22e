"""The questions line by line, for screen readers, plain terminals and pipes."""
