"""What is known, as lines of text at a width; no widget and no screen."""
