"""Reading of CSV files as people and devices write them: encodings, delimiters, rows of cells, dates."""
