"""The saved fan: one file each, written whole, locked while it is open."""
