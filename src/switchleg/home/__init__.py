"""All fans of a home at one look: how each stands, one trip, one shopping list."""
