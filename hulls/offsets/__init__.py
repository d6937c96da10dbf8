"""Tables of a hull's lines as people write them, and as they are kept."""
