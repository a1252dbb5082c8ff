"""What keeps the record of the shop, so that nothing confirmed is lost and nobody alters the past unseen.

Start at :mod:`chain`, the seals over what was recorded: every writing transaction of
:class:`~fulfil.store.shop.Shop` adds one. :mod:`copies` makes backups beside the shop's work, and shops of them.
"""
