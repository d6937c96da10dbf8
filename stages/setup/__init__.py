"""What a new shop starts with: a full route in the trade's order, and products by their generic names."""
