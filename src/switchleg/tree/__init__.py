"""The tree of questions: its graph, the walk through it, conditions and values."""
