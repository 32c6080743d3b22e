"""Whether the knowledge holds: files, references, every way through the tree, trials of the schemes."""
