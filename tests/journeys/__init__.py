"""What people do with the program from end to end, in a real browser."""
