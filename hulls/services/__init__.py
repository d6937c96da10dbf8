"""What changes a hull's own papers: one function a use case."""
