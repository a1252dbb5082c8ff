"""Rules of the room: walks are planned, put on paper, split and handed over; bins are filled, counted, found empty."""

from collections import Counter
from collections.abc import Callable

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.stock.bulk_counts import count_bin_by_hand
from fulfil.stock.empty_bins import bin_lacks
from fulfil.stock.levels import adjust_bin, count_bin, receive, reject_pieces
from fulfil.walks.hands import hand_over_walk, split_walk
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks
from fulfil.walks.rush import rush_order
from fulfil.walks.times import BEGUN, say_walk
from tests.orders.pieces_days import BINS, PiecesDays, without_paper
from tests.orders.pieces_model import UNPLANNED, LineKey


class RoomRules(PiecesDays):
    """Pickers, and whoever fills the bins."""

    @precondition(lambda self: self.model.open_numbers())
    @rule(by_cut_off=st.booleans())
    def plan(self, by_cut_off: bool) -> None:
        """All that waits is planned, all that is promised and not on paper planned anew."""
        self._plan(by_cut_off)

    def _plan(self, by_cut_off: bool = False) -> None:
        open_ = [number for number in self.model.open_numbers() if self._may_be_planned(number)]
        done = self.attempt(
            plan_day,
            day=self.day,
            effort="none",
            by_cut_off=by_cut_off,
            must="pass",
        )
        assert done is not None
        self.replan(open_)
        self.waits_by_plan()
        for key in [key for number in open_ for key in self.model.keys(number)]:
            self._is_well_planned(key, self._begun(key[0]))
        for code in BINS:
            on_paper = self.model.promised_from(code)
            planned = sum(places["promised", code] for places in self.model.owed.values())
            assert not planned or on_paper <= self.model.level(code), f"bin {code} is promised twice"

    def _may_be_planned(self, number: str) -> bool:
        return self.model.held.get(number, "waits to be complete") == "waits to be complete"

    def _begun(self, number: str) -> bool:
        return bool(set(self.model.at(number)) & {"in a package", "sealed"})

    def _is_well_planned(self, key: LineKey, is_packed: bool) -> None:
        """Nothing waits without a reason; nothing is short that lies free in a bin."""
        places: Counter[str] = Counter()
        for (kind, _), n in self.model.owed[key].items():
            places[kind] += n
        if key[0] in self.model.held:
            assert not places["promised"], f"{key} is promised, though its order waits to be complete"
            assert key[0] in self.complete
            return
        assert not places["held"], key
        if is_packed:
            return
        assert not places["waiting"], f"{key} waits without a reason"
        is_kit = len({one for one in self.model.keys(key[0]) if one[1] == key[1]}) > 1 or key[2] in (
            "SPRING-2",
            "FELT-9",
        )
        if places["short"] and not is_kit:
            assert not self._free(key[2]), f"{key} is short, {self._free(key[2])} are free"

    def _free(self, part: str) -> int:
        bins = [code for kind, code in self.model.stock[part] if kind == "bin"]
        return sum(max(0, self.model.level(code) - self.model.promised_from(code)) for code in bins)

    @precondition(lambda self: any(set(self.model.at(one)) & {"promised"} for one in self.model.numbers()))
    @rule(data=st.data(), all_of_them=st.booleans())
    def release(self, data: st.DataObject, all_of_them: bool) -> None:
        """Walks go on paper: what was promised is in their bags."""
        walks = [walk.number for walk in self.find(WalkRecord, released_at=None)]
        self._release(() if all_of_them else (self.draw(data, walks),))

    def _release(self, walks: tuple[str, ...]) -> None:
        before = self.bags_on_paper().keys()
        with without_paper():
            if self.attempt(release_walks, walks, self.folder, must="pass", why=f"release {walks}") is None:
                return
        for code, bag in self.bags_on_paper().items():
            if code not in before:
                assert not walks or bag.walk in walks
                self.model.bags[code] = bag
                self.model.move(bag.key, bag.pieces, ("promised", bag.bin_code), ("in a bag", code))

    @precondition(lambda self: self.model.open_numbers())
    @rule()
    def plan_and_release(self) -> None:
        """As on any morning."""
        self._plan()
        if self.find(WalkRecord, released_at=None):
            self._release(())

    @rule(
        code=st.sampled_from(BINS),
        pieces=st.integers(-8, 30),
        how=st.sampled_from(["goods come", "count", "count by hand", "adjust", "reject"]),
    )
    def stock(self, code: str, pieces: int, how: str) -> None:
        """A bin is filled, counted, put right or rid of bad pieces, whatever was promised from it."""
        level = self.model.level(code)
        (place,) = self.find(Bin, code=code)
        part, bin_ = place.part_number, ("bin", code)
        if how == "goods come":
            if self.attempt(receive, code, pieces, "note 7", must="pass" if pieces > 0 else "refuse") is not None:
                self.model.carry(part, pieces, None, bin_)
        elif how == "reject":
            must = "pass" if 0 < pieces <= level else "refuse"
            if self.attempt(reject_pieces, code, pieces, "burrs", day=self.day, must=must) is not None:
                self.model.carry(part, pieces, bin_, self.grown(part, "scrapped"))
        else:
            now = level + pieces if how == "adjust" else pieces
            steps: dict[str, Callable[..., object]] = {
                "count": count_bin,
                "count by hand": count_bin_by_hand,
                "adjust": adjust_bin,
            }
            must = "refuse" if now < 0 or (how == "adjust" and not pieces) else "pass"
            if self.attempt(steps[how], code, pieces, *(["found behind"] * (how == "adjust")), must=must) is not None:
                self._recounted(code, now)

    @precondition(lambda self: self.model.bags)
    @rule(data=st.data(), share=st.sampled_from([0, 1, 2, 99]), is_previewed=st.booleans())
    def a_bin_lacks(self, data: st.DataObject, share: int, is_previewed: bool) -> None:
        """A bin holds fewer than was promised from it: every piece of those orders is still somewhere."""
        code = self.draw(data, {bag.bin_code for bag in self.model.bags.values()})
        promised = self.model.promised_from(code)
        holds = {0: 0, 1: 1, 2: promised // 2, 99: promised}[share]
        said = None
        if is_previewed:
            said = self.attempt(bin_lacks, code, holds, day=self.day, must="pass", is_preview=True)
            self.both_books_are_the_models()
        done = self.attempt(bin_lacks, code, holds, day=self.day, must="pass")
        assert done is not None
        assert said is None or said.tells == done.tells
        self._recounted(code, holds)
        touched = self._promised_from(code)
        self._bags_changed(touched)
        assert self.model.promised_from(code) <= holds

    def _promised_from(self, code: str) -> set[str]:
        """Orders with pieces promised from a bin, on paper or not."""
        planned = {key[0] for key, places in self.model.owed.items() if places["promised", code]}
        return planned | {
            bag.key[0] for one, bag in self.model.bags.items() if bag.bin_code == code and self._waits(one)
        }

    def _waits(self, code: str) -> bool:
        return bool(self.model.owed[self.model.bags[code].key]["in a bag", code])

    def _recounted(self, code: str, holds: int) -> None:
        (place,) = self.find(Bin, code=code)
        level = self.model.level(code)
        if holds >= level:
            self.model.carry(place.part_number, holds - level, None, ("bin", code))
        else:
            self.model.carry(place.part_number, level - holds, ("bin", code), None)

    def _bags_changed(self, numbers: set[str]) -> None:
        """Bags that waited for their check may be gone, smaller or new; what left them is on no paper again."""
        seen = self.seen()
        waited = {code for code in self.model.bags if self._waits(code)}
        now = self.bags_on_paper()
        for code in [code for code in waited if code not in now]:
            del self.model.bags[code]
        for code, bag in now.items():
            if code not in self.model.bags or code in waited:
                self.model.bags[code] = bag
        keys = [key for number in numbers for key in self.model.keys(number)]
        self.model.choose(seen, keys, lambda place: place[0] in (*UNPLANNED, "in a bag"))
        self.waits_by_plan()

    @precondition(lambda self: self.model.bags)
    @rule(data=st.data(), after=st.integers(0, 4), how=st.sampled_from(["begin", "split", "hand over"]))
    def another_picker(self, data: st.DataObject, after: int, how: str) -> None:
        """A walk is begun, split or handed over: the bags are the same, and no piece moves."""
        walk = self.draw(data, {bag.walk for bag in self.model.bags.values()})
        steps: dict[str, tuple[Callable[..., object], object]] = {
            "begin": (say_walk, BEGUN),
            "split": (split_walk, after),
            "hand over": (hand_over_walk, "moana"),
        }
        step, more = steps[how]
        if self.attempt(step, walk, more) is None:
            return
        now = self.bags_on_paper()
        assert now.keys() == self.model.bags.keys()
        self.model.bags |= {code: bag for code, bag in now.items() if code in self.model.bags}

    @precondition(lambda self: self.model.open_numbers())
    @rule(data=st.data(), onto_a_walk=st.booleans())
    def rush(self, data: st.DataObject, onto_a_walk: bool) -> None:
        """An order can't wait: it alone is planned, onto a walk of its own or onto one that hasn't left."""
        number = self.draw(data, self.model.open_numbers())
        walks = [walk.number for walk in self.find(WalkRecord)]
        onto = self.draw(data, walks) if onto_a_walk and walks else ""
        others = {bag.order_number for bag in self.find(Bag, walk_number=onto)}
        if self.attempt(rush_order, number, day=self.day, onto=onto) is None:
            return
        self._bags_changed({number, *others})
        assert "waiting" not in self.model.at(number)
