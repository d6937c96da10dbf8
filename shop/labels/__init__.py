"""Sheets of stick-on labels with a QR code on each: how they lie on the paper, and what is drawn on them."""
