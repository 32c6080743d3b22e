"""Screens that show: the records, a home, the card, schemes side by side, and the way onto paper."""
