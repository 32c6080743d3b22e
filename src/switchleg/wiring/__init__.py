"""Boxes, cables and parts: route conductors, solve the circuit, apply electrical rules. Pure."""
