"""One person's way through the tree, kept in a record."""
