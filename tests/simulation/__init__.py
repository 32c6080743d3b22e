"""Simulated houses and people, and how the advice fares with them."""
