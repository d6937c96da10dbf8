"""The planner: which bench, which hands, which day. Plain Python and numbers; OR-Tools in `solver.py` alone."""
