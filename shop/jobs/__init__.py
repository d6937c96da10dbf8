"""Background work: written down with the business change, done at least once, its effect exactly once."""
