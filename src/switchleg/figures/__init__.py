"""Figures of the trade: each a sheet with its sum, its table and its source."""
