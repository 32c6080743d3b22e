"""The command line: parses, calls, prints. Nothing is reasoned here."""
