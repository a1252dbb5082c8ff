"""The demo day's people: they check every bag and weigh every package, with planted mistakes, and count what is caught.

A mistake is *caught* when the first check of its bag or package does not pass, *missed* when it passes. A *false alarm*
is a check that doesn't pass although nothing was planted. What is missed is listed with the reason.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

from fulfil_demo_catalog.mistakes.rates import Chance, Mistake, MistakeRates

from fulfil.bench.check import BagCheck, Seen, check_bag
from fulfil.counting.scale_checks import record_scale_check
from fulfil.counting.told_pours import Pour
from fulfil.despatch.boxes import for_scale
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.errors import WeighingRefused
from fulfil.orders.holding import hold_order
from fulfil.quantities import nearest_step
from fulfil.records.despatch.dispatch import Package
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import Order, OrderState
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import Bag, CountMethod
from fulfil.records.weighing import Verdict
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.lookalike import LookAlikeIndex
from fulfil.weighing.scale_check import CheckReading

CHECKER, PACKER = "checker-1", "packer-1"
REVIEW = "stopped for review: see the package's findings"


@dataclass(frozen=True)
class Missed:
    """A planted mistake that passed its check, and why it could."""

    mistake: Mistake
    subject: str
    why: str


@dataclass
class Tally:
    """What the rehearsal counted."""

    bags_checked: int = 0
    planted: int = 0
    caught: int = 0
    false_alarms: int = 0
    missed: list[Missed] = field(default_factory=list)

    def count(self, mistake: Mistake | None, passed: bool, subject: str, why: str) -> None:
        """Counts the first check of a bag or package."""
        if mistake is None:
            self.false_alarms += not passed
            return
        self.planted += 1
        if passed:
            self.missed.append(Missed(mistake, subject, why))
        else:
            self.caught += 1


class Rehearsal:
    """One simulated day at the benches of a shop."""

    def __init__(
        self,
        shop: Shop,
        *,
        seed: int,
        begins: datetime,
        rates: MistakeRates,
        index: Callable[[Books], LookAlikeIndex],
    ) -> None:
        self.shop = shop
        self.chance = Chance(seed)
        self.now = begins
        self.rates = rates
        self.index = index
        self.tally = Tally()
        with shop.reading() as books:
            self.parts = {part.number: part for part in books.find(Part)}
            self.weights = {weight.part_number: weight for weight in books.find(UnitWeight)}
            self.bag_types = {bag_type.code: bag_type for bag_type in books.find(BagType)}
            self.boxes = {box.code: box for box in books.find(BoxType)}
            self.scales = {scale.code: scale for scale in books.find(ScaleRecord)}
        for_bags = [scale for scale in self.scales.values() if scale.use == "bags"]
        self.shifting_scale = max(for_bags, key=lambda scale: (scale.d_g, scale.code)).code if for_bags else ""
        self.has_shifted = False
        self.kin = _kin(self.parts.values(), self.weights)
        self.true_mass_g: dict[str, float] = {}
        self.planted: dict[str, Mistake] = {}

    def check_all_bags(self, walks: Sequence[str] = ()) -> None:
        """Checks every bag of every walk, or some, in cart order; one that fails is picked again, right this time."""
        with self.shop.reading() as books:
            bags = books.find(Bag, walk_number=[*walks]) if walks else books.find(Bag)
        ordered = sorted(bags, key=lambda bag: (bag.walk_number, bag.cart_position, bag.stop_no, bag.code))
        shifts_at = round(self.rates.zero_shifts_after * len(ordered))
        for place, bag in enumerate(ordered):
            self.has_shifted = place >= shifts_at
            self._check(bag)

    def check_all_scales(self) -> None:
        """Tests every scale in the morning with check weights at a twentieth, a fifth and a half of its range."""
        for scale in self.scales.values():
            readings = []
            for share in (20, 5, 2):
                weight_g = nearest_step(scale.max_g / share, scale.e_g)
                shown = self.chance.indication_g(scale, float(weight_g), f"{scale.code} {weight_g}")
                readings.append(CheckReading(weight_g, shown))
            record_scale_check(self.shop, scale.code, readings, at=self._tick(120), person=CHECKER, is_simulated=True)

    def pack_all_orders(self, only: Collection[str] | None = None) -> None:
        """Boxes and weighs every checked order, or some; a package that fails is opened and put right."""
        with self.shop.reading() as books:
            orders = books.find(Order, state=OrderState.CHECKED)
        for order in orders:
            if only is None or order.number in only:
                self._pack(order)

    def _tick(self, seconds: int) -> datetime:
        self.now += timedelta(seconds=seconds)
        return self.now

    def _check(self, bag: Bag) -> None:
        rates = {
            Mistake.ONE_SHORT: self.rates.one_short if bag.pieces > 1 else 0.0,
            Mistake.ONE_OVER: self.rates.one_over,
            Mistake.WRONG_PART: self.rates.wrong_part if self.kin.get(bag.part_number) else 0.0,
        }
        mistake = self.chance.pick(bag.code, rates)
        if mistake is not None:
            self.planted[bag.code] = mistake
        self.tally.bags_checked += 1
        for attempt in range(10):
            planted = mistake if attempt == 0 else None
            check = self._judged(bag, planted, attempt)
            passed = check.verdict.verdict is Verdict.PASSED
            if attempt == 0:
                self.tally.count(mistake, passed, bag.code, self._why_bag(bag, mistake))
            if passed:
                return

    def _judged(self, bag: Bag, mistake: Mistake | None, attempt: int) -> BagCheck:
        """The verdict; a lot that is too large to be told is poured again in smaller ones."""
        at = self._tick(20)
        for smaller in (1, 2, 4, 8):
            seen = self._see(bag, mistake, attempt, smaller=smaller)
            try:
                return check_bag(self.shop, bag.code, seen, at=at, person=CHECKER, is_simulated=True, index=self.index)
            except WeighingRefused:
                if not seen.pours:
                    raise
        return check_bag(
            self.shop, bag.code, Seen(looks_wrong="no lot of it can be told"), at=at, person=CHECKER, is_simulated=True
        )

    def _see(self, bag: Bag, mistake: Mistake | None, attempt: int, *, smaller: int = 1) -> Seen:
        """What the checker finds: the eye first, then the scale, then a count by hand where the scale can't tell.

        ``smaller`` divides the lots in which a bag is poured out.
        """
        subject = f"{bag.code} {attempt}"
        pieces = bag.pieces + {Mistake.ONE_SHORT: -1, Mistake.ONE_OVER: 1}.get(mistake, 0) if mistake else bag.pieces
        part_number = self.kin[bag.part_number] if mistake is Mistake.WRONG_PART else bag.part_number
        mass_g = self._bag_mass_g(bag, part_number, pieces, subject)
        self.true_mass_g[bag.code] = mass_g
        if mistake is Mistake.WRONG_PART and self.chance.happens("eye", bag.code, self.rates.eye_sees_wrong_part):
            return Seen(looks_wrong=f"{part_number} in place of {bag.part_number}")
        scale = self._scale(bag, mass_g)
        if bag.method.is_net and attempt < 2:
            return self._see_net(bag, part_number, pieces, scale, subject, smaller=smaller)
        zero_g = self.rates.zero_shift_g if self.has_shifted and scale.code == self.shifting_scale else 0.0
        gross_g = self.chance.indication_g(scale, mass_g + zero_g, subject)
        # A bag that comes back for the third time is counted by hand as well.
        if bag.method.is_weighed and attempt < 2:
            return Seen(gross_g=gross_g, scale_code=scale.code)
        sees = self.chance.happens("hand", bag.code, self.rates.hand_count_sees)
        return Seen(gross_g=gross_g, counted=pieces if sees else bag.pieces, scale_code=scale.code)

    def _see_net(
        self, bag: Bag, part_number: str, pieces: int, scale: ScaleRecord, subject: str, *, smaller: int
    ) -> Seen:
        """The pieces alone, in a tared cup, so that a zero that moved is tared away; the last lot is the rest."""
        tare_g = self._tare_g(bag, subject)
        if bag.method is CountMethod.TARE:
            net_g = self.true_mass_g[bag.code] - tare_g
            return Seen(gross_g=self._net_shown_g(scale, net_g, subject), scale_code=scale.code)
        each = max(1, bag.pour_pieces // smaller)
        sizes = [each] * (pieces // each) + ([pieces % each] if pieces % each else [])
        weight = self.weights[part_number]
        lots = [self.chance.net_g(weight, size, f"{subject} {lot}") for lot, size in enumerate(sizes)]
        self.true_mass_g[bag.code] = tare_g + sum(lots)
        shown = [self._net_shown_g(scale, mass_g, f"{subject} {lot}") for lot, mass_g in enumerate(lots)]
        return Seen(pours=tuple(Pour(mass_g) for mass_g in shown), scale_code=scale.code)

    def _net_shown_g(self, scale: ScaleRecord, net_g: float, subject: str) -> Decimal:
        """What a tared scale shows: the difference of two indications."""
        cup_g = 15.0
        empty_g = self.chance.indication_g(scale, cup_g, f"{subject} empty")
        return self.chance.indication_g(scale, cup_g + net_g, f"{subject} full") - empty_g

    def _tare_g(self, bag: Bag, subject: str) -> float:
        return self.chance.around("bag", subject, float(bag.tare_g), self.bag_types[bag.bag_type].tare_sd_g)

    def _bag_mass_g(self, bag: Bag, part_number: str, pieces: int, subject: str) -> float:
        tare_g = self._tare_g(bag, subject)
        weight = self.weights.get(part_number) or self.weights.get(bag.part_number)
        # A part nobody has weighed still weighs something: five grams a piece, invented.
        return tare_g + (5.0 * pieces if weight is None else self.chance.net_g(weight, pieces, subject))

    def _scale(self, bag: Bag, mass_g: float) -> ScaleRecord:
        """The planned scale; for a hand-counted bag the finest that takes its mass."""
        if bag.scale_code:
            return self.scales[bag.scale_code]
        able = [scale for scale in self.scales.values() if float(scale.min_g) <= mass_g <= float(scale.max_g)]
        return min(able, key=lambda scale: (scale.d_g, scale.code))

    def _why_bag(self, bag: Bag, mistake: Mistake | None) -> str:
        if bag.method is CountMethod.HAND:
            return "counted by hand: no scale here proves this count, and the simulated checker miscounted"
        if mistake is Mistake.ONE_SHORT:
            return f"a bag one short passes with probability {bag.p_pass_one_short:.2g}"
        if mistake is Mistake.ONE_OVER:
            return f"a bag one over passes with probability {bag.p_pass_one_over:.2g}"
        other = self.kin.get(bag.part_number, "")
        return f"{bag.pieces} pieces of {other} weigh almost the same, and the simulated eye did not see it"

    def _pack(self, order: Order) -> None:
        packed = plan_packages(self.shop, order.number, at=self._tick(30), person=PACKER)
        for package in packed.packages:
            with self.shop.reading() as books:
                bags = books.find(Bag, package_number=package.number)
                _, scale = for_scale(books, package)
            mistake = self.mistake_in(package, bags)
            stopped = False
            for attempt in range(10):
                planted = mistake if attempt == 0 else None
                gross_g = self.shown_g(package, bags, scale, planted, attempt)
                check = weigh_package(
                    self.shop, package.number, gross_g, at=self._tick(60), person=PACKER, is_simulated=True
                )
                passed = check.verdict.verdict is Verdict.PASSED
                if attempt == 0:
                    self.tally.count(
                        mistake, passed, package.number, self._why_package(mistake, package.visible_from_g)
                    )
                # What a missing bag made doubtful is settled once it lies in the box.
                stopped = bool(check.findings)
                if passed:
                    break
            if stopped:
                hold_order(self.shop, order.number, REVIEW, at=self._tick(30), person=PACKER)
                return

    def mistake_in(self, package: Package, bags: list[Bag]) -> Mistake | None:
        """What goes wrong when this package is filled for the first time."""
        rates = {
            Mistake.WRONG_BAG: self.rates.wrong_bag,
            Mistake.MISSING_BAG: self.rates.missing_bag if len(bags) > 1 else 0.0,
        }
        return self.chance.pick(package.number, rates)

    def shown_g(
        self, package: Package, bags: list[Bag], scale: ScaleRecord, mistake: Mistake | None, attempt: int
    ) -> Decimal:
        """What the scale shows for the closed package."""
        box = self.boxes[package.box_type]
        mass_g = self.chance.around("box", package.number, float(box.tare_g), box.tare_sd_g)
        mass_g += self.chance.around("cushioning", package.number, float(box.cushioning_g), box.cushioning_sd_g)
        mass_g += self._content_g(bags, mistake, package.number)
        return self.chance.indication_g(scale, mass_g, f"{package.number} {attempt}")

    def _content_g(self, bags: list[Bag], mistake: Mistake | None, package_number: str) -> float:
        masses = [self.true_mass_g[bag.code] for bag in bags]
        place = int(self.chance.stream("which bag", package_number).integers(len(bags)))
        if mistake is Mistake.MISSING_BAG:
            del masses[place]
        elif mistake is Mistake.WRONG_BAG:
            others = sorted(set(self.true_mass_g) - {bag.code for bag in bags})
            masses[place] = self.true_mass_g[
                others[int(self.chance.stream("other bag", package_number).integers(len(others)))]
            ]
        return sum(masses)

    def _why_package(self, mistake: Mistake | None, visible_from_g: Decimal) -> str:
        what = "the missing bag weighs" if mistake is Mistake.MISSING_BAG else "the two bags differ by"
        return f"{what} less than the {visible_from_g} g that this package's weight can show"


def _kin(parts: Iterable[Part], weights: dict[str, UnitWeight]) -> dict[str, str]:
    """For each weighed part the one most easily taken for it: of its family and size, the next in unit weight."""
    groups: dict[tuple[str, str], list[str]] = {}
    for part in parts:
        if part.number in weights:
            groups.setdefault((part.family, part.size), []).append(part.number)
    kin: dict[str, str] = {}
    for numbers in groups.values():
        ordered = sorted(numbers, key=lambda number: (weights[number].mean_g, number))
        for place, number in enumerate(ordered):
            if len(ordered) > 1:
                kin[number] = ordered[place + 1] if place + 1 < len(ordered) else ordered[place - 1]
    return kin
