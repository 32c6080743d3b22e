"""Screens that ask: a gate, a question, what another answer would change, all answers, a fan's name and home."""
