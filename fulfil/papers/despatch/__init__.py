"""Papers of this group: to be described."""
