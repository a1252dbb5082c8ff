"""Migrations of the shop's database, run by :mod:`fulfil.store.migration`."""
