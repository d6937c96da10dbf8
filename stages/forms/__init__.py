"""What people fill in: the acts at a hull, the survey, and a hull's own particulars."""
