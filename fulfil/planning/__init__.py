"""Which orders, bags, walks and boxes belong together, and how far a plan is from the best: pure computations."""
