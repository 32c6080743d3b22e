"""switchleg: how a ceiling fan is wired, and which control scheme can work there."""

__version__ = "0.1.0"
