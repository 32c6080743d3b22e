"""Quantities: read, named and shown in the units of a region."""
