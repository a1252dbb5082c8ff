"""What the books say of one package that can't all be true: each contradiction once, with what to do about it.

>>> from decimal import Decimal
>>> facts = PackageFacts("P1", "A-1", "ROAD", "shipped", False, "M1", Decimal(812), Decimal(812), None, None,
...     astray=(("B7", "A-2"),), order_state="shipped", manifest_service="ROAD", sent_pieces=40, stock_pieces=40)
>>> [(one.cause.value, one.says) for one in contradictions(facts)]
[("bag in another order's package", 'holds bag B7, which belongs to order A-2')]

Nothing is put right here: the books are append-only, and which of two entries is wrong a person sees.
"""

from collections.abc import Iterator

from fulfil.shipping.differences import Cause, Difference, PackageFacts

_LEAVES = ("sealed", "shipped")


def contradictions(package: PackageFacts) -> Iterator[Difference]:
    """The contradictions about a package, as ranked by their causes; a void one is as it was handed over."""
    if package.is_void:
        return
    subject = f"package {package.number}"
    for bag, order in package.astray:
        says = f"holds bag {bag}, which belongs to order {order}"
        do = "open it before it leaves" if not package.manifest_number else "ask both customers what they received"
        yield Difference(Cause.BAG_ASTRAY, subject, says, do)
    if package.manifest_number and package.order_state == "cancelled":
        says = f"left with manifest {package.manifest_number}, and its order {package.order_number} is cancelled"
        do = "ask the carrier to bring it back, or ask the customer; credit what was paid"
        yield Difference(Cause.CANCELLED_SENT, subject, says, do)
    if package.manifest_number and package.manifest_service not in ("", package.service_code):
        says = f"is for service {package.service_code}, its manifest {package.manifest_number} is of "
        says += package.manifest_service
        do = "ask both carriers which of them has it"
        yield Difference(Cause.MANIFEST_SERVICE, subject, says, do)
    if None not in (sums := (package.sent_pieces, package.stock_pieces)) and sums[0] != sums[1]:
        says = f"left with {sums[0]} pieces, the book of what is there handed over {sums[1]}"
        do = "count the bins of its parts, and keep a copy of the shop (fulfil shop verify)"
        yield Difference(Cause.NO_STOCK_MOVE, subject, says, do)
    if package.state in _LEAVES and package.weighed_g is None:
        says = f"is {package.state}, and no weighing of it has passed"
        do = "weigh it before it leaves" if not package.manifest_number else "ask the carrier for its weight"
        yield Difference(Cause.NEVER_WEIGHED, subject, says, do)
