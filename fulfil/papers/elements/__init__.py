"""The elements that papers are made of: one module per idea, each with one way to look."""
