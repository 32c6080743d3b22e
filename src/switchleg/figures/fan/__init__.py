"""Figures of the fan: energy, height and place, weight, baths, motor clues, capacitor."""
