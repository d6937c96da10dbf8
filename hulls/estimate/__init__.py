"""What a job will cost and how long it takes: pure sums in Decimal, hours by their spread."""
