"""The parts of the shop's planning problem, each made from what the database holds."""
