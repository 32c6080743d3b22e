"""The verdict as a card: sections of lines, tabs, drawings."""
