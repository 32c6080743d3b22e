"""The data files read once, with every problem of reading them."""
