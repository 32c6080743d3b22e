"""The houses and fans left with the plans that fit each, and what stops the work."""
