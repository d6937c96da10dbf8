"""Template filters for what the engine says."""
