"""The empty box of a package on the scale, with cushioning, papers and closing strip, before its bags lie in it.

What it weighs is kept with the package and stands in its window in place of what its kind weighs on average, so that
the weight shows lighter bags. A reading that is not this box's is said with what to do, and nothing is kept, until the
person says why it is right.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from fulfil.checking.empty_box import KnownBox, judge_empty
from fulfil.counting.count_lines import scale_of
from fulfil.counting.readings import must_be_shown
from fulfil.counting.scale_checks import usable_scales
from fulfil.despatch.boxes import (
    BagMass,
    bag_mass,
    for_scale,
    packing_by_type,
    packing_of,
    packing_weighed,
    window_figures,
    window_of,
)
from fulfil.errors import StateRefused
from fulfil.orders.unpacking import weighed_anew
from fulfil.quantities import nearest_step
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.equipment import BoxType, ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.budget import Budget, Term

MOST_NAMED = 3
"""So many bags are named that the empty weight would show; the rest is a number."""


@dataclass(frozen=True)
class EmptyCheck:
    """The package, with its window made anew where the reading was taken; else what speaks against it."""

    package: Package
    findings: tuple[Finding, ...]


def weigh_empty(
    shop: Shop,
    number: str,
    empty_g: Decimal,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    reason: str = "",
    is_simulated: bool = False,
) -> EmptyCheck:
    """Takes down what the empty box of a package weighs; ``reason`` is why it is right though it seems not.

    Raises:
        UnknownRefused: when there is no such package or scale.
        StateRefused: when the package is sealed, or bags are in the box already.
        WeighingRefused: when the reading can't be the scale's.
    """
    with shop.writing() as books:
        return empty_within(
            books,
            number,
            empty_g,
            at=at,
            person=person,
            scale_code=scale_code,
            reason=reason,
            is_simulated=is_simulated,
        )


def empty_within(
    books: Books,
    number: str,
    empty_g: Decimal,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    reason: str = "",
    is_simulated: bool = False,
) -> EmptyCheck:
    """:func:`weigh_empty` inside the caller's transaction."""
    package = books.need(Package, number)
    if package.state not in (PackageState.PLANNED, PackageState.STOP):
        raise StateRefused(
            "weigh the empty box of package", number, f"one that isn't sealed; this one is {package.state}"
        )
    bags = books.find(Bag, package_number=number)
    inside = sorted(bag.code for bag in bags if bag.boxed_at is not None)
    if inside:
        expected = f"no bag in it yet: take out {', '.join(inside)} first, or go on without the empty weight"
        raise StateRefused("weigh the empty box of package", number, expected)
    _, scale = for_scale(books, package, scale_code)
    must_be_shown(scale, empty_g, may_be_too_light=False)
    found = _against(books, package, empty_g, scale)
    if found and not reason:
        return EmptyCheck(package, found)
    masses = [bag_mass(books, bag) for bag in bags]
    window = window_of(books, packing_weighed(empty_g, scale), masses, scale)
    read = {"empty_g": empty_g, "empty_scale_code": scale.code, **window_figures(scale, window)}
    package = revised(package, read)
    books.replace([package])
    books.journal(
        at=at,
        person=person,
        event=Happening.EMPTY_BOX_WEIGHED,
        subject=number,
        particulars={
            "weight_g": empty_g,
            "scale": scale.code,
            "says": " ".join(one.says for one in found),
            "reason": reason if found else "",
        },
        is_simulated=is_simulated,
    )
    return EmptyCheck(package, ())


def forget_empty_within(books: Books, number: str, *, at: datetime, person: str) -> Package:
    """Takes the empty box's weight back; the window is made anew from the box type."""
    package = books.need(Package, number)
    if package.empty_g is None:
        raise StateRefused("take back the empty weight of package", number, "one whose empty box was weighed")
    weighed_g = package.empty_g
    package, _ = for_scale(books, revised(package, weighed_anew(package)))
    books.replace([package])
    particulars = {"weight_g": weighed_g}
    books.journal(at=at, person=person, event=Happening.EMPTY_BOX_FORGOTTEN, subject=number, particulars=particulars)
    return package


def what_empty_shows(books: Books, package: Package, scale_code: str = "") -> str:
    """What weighing the empty box first would show that its kind hides, bags lightest last; empty where nothing.

    Asked of the scale named or of the package's own, else of the coarsest finer scale that bears the package and shows
    every bag.
    """
    if package.empty_g is not None:
        return ""
    package, scale = for_scale(books, package, scale_code)
    masses = [(bag.code, bag_mass(books, bag)) for bag in books.find(Bag, package_number=package.number)]
    hidden = sorted(
        ((mass.gross_g, code) for code, mass in masses if mass.gross_g < package.visible_from_g), reverse=True
    )
    if not hidden:
        return ""
    finer = [one for one in usable_scales(books) if one.d_g < scale.d_g and one.max_g >= package.upper_g]
    for one in (scale, *sorted(finer, key=lambda other: (-other.d_g, other.code))):
        visible_g = _visible_with_empty(books, package, [mass for _, mass in masses], one)
        shown = [f"{code} ({mass_g:.1f} g)" for mass_g, code in hidden if visible_g is not None and mass_g >= visible_g]
        if shown and (len(shown) == len(hidden) or one is scale):
            named = ", ".join(shown[:MOST_NAMED])
            more = f" and {len(shown) - MOST_NAMED} more" if shown[MOST_NAMED:] else ""
            return (
                f"Weigh the empty box first, on {one.code}: bag{'s' if shown[1:] else ''} {named}{more} would be seen."
            )
    return ""


def package_budget(books: Books, package: Package) -> Budget:
    """What makes up the uncertainty of a package's weight on the scale that its window was made for."""
    bags = books.find(Bag, package_number=package.number)
    masses = [bag_mass(books, bag) for bag in bags]
    terms = [
        Term(name, sum(mass.u_g**2 for mass in masses if mass.is_weighed is is_weighed) ** 0.5)
        for name, is_weighed in (("bags' own weighings", True), ("bags counted by hand", False))
    ]
    terms += [Term(name, u_g) for name, u_g in packing_of(books, package).terms]
    scale = books.get(ScaleRecord, package.scale_code)
    if scale is not None:
        terms.append(Term("package's weighing", scale_of(scale).indication_u_g(float(package.expected_g))))
    return Budget(max(1, sum(bag.pieces for bag in bags)), tuple(term for term in terms if term.u_g > 0.0))


def _visible_with_empty(
    books: Books, package: Package, masses: Sequence[BagMass], scale: ScaleRecord
) -> Decimal | None:
    """The lightest bag that is seen once the empty box was weighed on this scale; None below the scale's Min."""
    by_type = packing_by_type(books.need(BoxType, package.box_type))
    empty_g = nearest_step(by_type.mass_g, scale.d_g)
    if empty_g < scale.min_g:
        return None
    return window_of(books, packing_weighed(empty_g, scale), masses, scale).visible_from_g


def _against(books: Books, package: Package, empty_g: Decimal, scale: ScaleRecord) -> tuple[Finding, ...]:
    known = [
        KnownBox(one.code, one.tare_g, one.tare_sd_g, one.cushioning_g, one.cushioning_sd_g)
        for one in books.find(BoxType)
    ]
    verdict = judge_empty(
        empty_g,
        next(one for one in known if one.code == package.box_type),
        known,
        indication_u_g=scale_of(scale).indication_u_g(float(empty_g)),
        risk_reject=books.settings().risk_reject,
    )
    if verdict.fits:
        return ()
    return (Finding(f"package {package.number}", None, "empty_g", f"{empty_g:f}", verdict.says, verdict.do),)
