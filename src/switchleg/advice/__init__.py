"""Judge schemes, rank them by the wishes, say the verdict. Pure."""
