"""The invented demo shop: its generator and its files."""
