"""Walks that are out, what a picker says on the way, and which orders go out before all others.

Begin with :mod:`fulfil.walks.under_way.picking`. May be imported here: what :mod:`fulfil.walks` may, and its modules.
"""
