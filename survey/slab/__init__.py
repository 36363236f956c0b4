"""From heights to the slab: profile along each line, highs and lows, where to grind."""
