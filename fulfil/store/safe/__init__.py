"""What keeps the record of the shop: the chain over it (:mod:`chain`) and copies of it (:mod:`copies`)."""
