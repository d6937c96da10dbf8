"""Letters to boats' owners: what they are told of, when, and in which words."""
