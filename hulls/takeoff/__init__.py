"""What a boat needs and how much of it, from its area, its plan of work and the products: pure, SI units inside."""
