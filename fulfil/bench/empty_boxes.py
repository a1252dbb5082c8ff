"""The empty box at the packing bench: taken down or taken back, and what is said where it isn't this box.

The rule is :mod:`fulfil.despatch.empty_box`; the machine that reads the line is :mod:`fulfil.checking.packing`.
"""

from datetime import datetime
from decimal import Decimal

from fulfil.checking.pack_wants import ForgetEmpty, WeighEmpty
from fulfil.checking.saying import Say, refused
from fulfil.despatch.empty_box import empty_within, forget_empty_within
from fulfil.quantities import as_shown
from fulfil.records.despatch.dispatch import Package
from fulfil.records.equipment import ScaleRecord
from fulfil.store.books import Books


def empty_box(
    books: Books, want: WeighEmpty | ForgetEmpty, *, at: datetime, person: str, scale_code: str, is_simulated: bool
) -> tuple[Package, Say | None]:
    """The package after it, and what speaks against the reading; None where it was taken."""
    if isinstance(want, ForgetEmpty):
        return forget_empty_within(books, want.package_number, at=at, person=person), None
    done = empty_within(
        books,
        want.package_number,
        want.empty_g,
        at=at,
        person=person,
        scale_code=scale_code,
        reason=want.reason,
        is_simulated=is_simulated,
    )
    if not done.findings:
        return done.package, None
    (finding,) = done.findings
    return done.package, refused(f"{finding.says}.", f"{finding.do}: empty box {want.empty_g} REASON.")


def empty_shown_g(books: Books, package: Package) -> Decimal | None:
    """What the empty box weighed, in the digits of its scale; None where it wasn't weighed."""
    if package.empty_g is None:
        return None
    return as_shown(package.empty_g, books.need(ScaleRecord, package.empty_scale_code).d_g)
