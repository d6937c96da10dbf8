"""What pages and commands read of hulls."""
