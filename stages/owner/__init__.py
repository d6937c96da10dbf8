"""What a boat's owner is told: calm words and a few days, nothing of the crew, of money or of other boats."""
