"""An app of the tests only: a job whose effect can be counted, in a database of its own."""
