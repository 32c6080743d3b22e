"""What the screens are built on: the shared frame, and a base for each manner of page."""
