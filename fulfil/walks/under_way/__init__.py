"""Walks that are out: what a picker says on the way.

Begin with :mod:`fulfil.walks.under_way.picking`. May be imported here: what :mod:`fulfil.walks` may, and its modules.
"""
