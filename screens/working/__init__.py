"""Screens for somebody on a ladder: the safety gate of the work, its steps and its proof."""
