"""Benchmarks of the stage engine, each beside a peer measured in the same run."""
