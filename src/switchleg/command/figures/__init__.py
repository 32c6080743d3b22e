"""Single calculations from the command line, with the sum shown."""
