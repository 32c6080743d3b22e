"""An invented guesthouse, in a store that is thrown away."""
