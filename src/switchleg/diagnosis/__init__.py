"""Which houses the answers still allow, how likely each is, what disagrees, what to look at next. Pure."""
