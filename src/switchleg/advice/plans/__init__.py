"""A way of a scheme in one house: wired, judged, with what it keeps and what it waits for."""
