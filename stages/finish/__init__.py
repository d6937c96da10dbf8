"""The finish record: what is gathered of a hull, as plain JSON values, and how the finish on it is looked after."""
