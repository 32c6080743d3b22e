"""Figures of the circuit: wire and breaker, loads, ratings, the marks of a part."""
