"""Forms of the shop itself."""
