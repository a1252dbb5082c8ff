"""Mistakes that the demo plants: how often people and scales make them, and what a carrier's bill gets wrong."""
