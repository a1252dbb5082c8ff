"""Rules of the desk: orders come in, change, are held, cancelled, combined; what is short is made or bought."""

from collections import Counter

from hypothesis import strategies as st
from hypothesis.stateful import initialize, precondition, rule

from fulfil.orders.changing import change_lines, change_service
from fulfil.orders.combining import combine_orders, look_alike_orders
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.importing import add_order, import_orders
from fulfil.orders.pulling import put_back
from fulfil.records.order import OrderLine
from fulfil.records.part import Supply
from fulfil.records.pulled import PulledBag
from fulfil.records.shorts import Job
from fulfil.stock.jobs import book_in, close_job, make_jobs
from tests.harbour_shop import KIT, order_of
from tests.orders.pieces_days import PARTS, PiecesDays
from tests.orders.pieces_model import CANCELLED, ENDED, HELD, WAITING, LineKey, Model

ASKED = st.lists(st.tuples(st.sampled_from(PARTS), st.integers(1, 12)), min_size=1, max_size=3)
MANY = st.tuples(st.sampled_from(PARTS), st.integers(20, 50)).map(lambda one: [one])
HEAD = "order,received_at,source,name,street,city,post_code,country,service,part,pieces\n"


def keys_of(number: str, line_no: int, part: str, pieces: int) -> dict[LineKey, int]:
    """What one line asks for: pieces of its part, of a kit those of its parts."""
    made_of = KIT if part == "KIT-D" else {part: 1}
    return {(number, line_no, one): per * pieces for one, per in made_of.items()}


class DeskRules(PiecesDays):
    """A clerk with a telephone."""

    def _take(self, number: str, asked: list[tuple[str, int]], service: str) -> None:
        self.service[number] = service
        for line_no, (part, pieces) in enumerate(asked, start=1):
            for key, n in keys_of(number, line_no, part, pieces).items():
                self.model.order(key, n)

    @initialize(asked=ASKED, more=ASKED | MANY)
    def begin(self, asked: list[tuple[str, int]], more: list[tuple[str, int]]) -> None:
        """Two orders have come in by the morning."""
        self._key(asked, complete=False, service="ROAD")
        self._key(more, complete=False, service="ROAD")

    @precondition(lambda self: self.keyed < 9)
    @rule(asked=ASKED | MANY, complete=st.booleans(), service=st.sampled_from(["ROAD", "ROAD", "AIR"]))
    def key_an_order(self, asked: list[tuple[str, int]], complete: bool, service: str) -> None:
        """From the telephone."""
        self._key(asked, complete, service)

    def _key(self, asked: list[tuple[str, int]], complete: bool, service: str) -> None:
        self.keyed += 1
        who, number = self.who(), f"T{self.keyed}"
        order, lines = order_of(number, asked, received_at=who["at"], service_code=service, ship_complete=complete)
        assert add_order(self.shop, order, lines, **who) == []
        if complete:
            self.complete.add(number)
        self._take(number, asked, service)

    @precondition(lambda self: self.keyed < 9)
    @rule(asked=ASKED)
    def import_a_file(self, asked: list[tuple[str, int]]) -> None:
        """One order of a file; the same file again brings nothing."""
        self.keyed += 1
        who, number = self.who(), f"F{self.keyed}"
        head = f"{number},{who['at'].isoformat()},web,Žofie Vzorková,1 Sample Quay,Waitangi-Sample,8016,NZ,ROAD"
        path = self.folder / "orders.csv"
        path.write_text(HEAD + "".join(f"{head},{part},{n}\n" for part, n in asked), encoding="utf-8")
        assert import_orders(self.shop, path, **who).new == (number,)
        self._take(number, asked, "ROAD")
        assert import_orders(self.shop, path, **self.who()).new == ()

    @precondition(lambda self: self.model.numbers())
    @rule(data=st.data(), wants=st.integers(0, 15), more=st.sampled_from([(), (), (("REED-A", 2),), (("KIT-D", 1),)]))
    def change_an_order(self, data: st.DataObject, wants: int, more: tuple[tuple[str, int], ...]) -> None:
        """More, fewer or none of a line, at whatever stage, and perhaps a line more."""
        number = self.an_order(data)
        line_no = self.draw(data, {key[1] for key in self.model.keys(number)})
        keys = {key: self.model.ordered[key] for key in self.model.keys(number) if key[1] == line_no}
        (line,) = self.find(OrderLine, order_number=number, line_no=line_no)
        per = {key: n // line.pieces for key, n in keys.items()}
        sent = {key: sum(n for (kind, _), n in self.model.owed[key].items() if kind == "shipped") for key in keys}
        too_few = any(sent[key] > wants * per[key] for key in keys)
        ended, sealed = self._ended(number), self.sealed(number)
        package_of = self.package_of()
        must = "refuse" if ended or sealed or too_few else "pass"
        why = f"{number} ended {ended}, sealed {sealed}, sent more {too_few}"
        done = self.attempt(
            change_lines,
            number,
            {line_no: wants},
            added=more,
            reason="called",
            must=must,
            why=why,
        )
        if done is None:
            return
        self.model.unbox(number, package_of)
        before = {key: self._on_paper(key) for key in keys}
        for bag in done.pulled:
            assert bag.line_no == line_no
            self.was_pulled.add(bag.bag_code)
            self.model.pull(bag.bag_code)
        now = line.pieces - line.cancelled_pieces
        for key, n in per.items():
            self._wants(key, n * now, n * wants)
        if len(keys) == 1:
            self._fewest([bag.pieces for bag in done.pulled], before[next(iter(keys))] - wants)
        last = max(key[1] for key in self.model.keys(number))
        for place, (part, pieces) in enumerate(more, start=last + 1):
            for key, n in keys_of(number, place, part, pieces).items():
                self.model.order(key, n)
        self.replan([number])
        if self._ended(number):
            self.model.held.pop(number, None)

    def _ended(self, number: str) -> bool:
        return not set(self.model.at(number)) - {*ENDED}

    def _on_paper(self, key: LineKey) -> int:
        return sum(n for (kind, _), n in self.model.owed[key].items() if kind in ("in a bag", "passed", "shipped"))

    def _wants(self, key: LineKey, now: int, wants: int) -> None:
        """So many pieces are wanted instead: more are ordered, fewer are cancelled."""
        if wants >= now:
            self.model.order(key, wants - now) if wants > now else None
            return
        fewer = now - wants
        for place in sorted(
            place for place in self.model.owed[key] if place[0] in ("waiting", "promised", "short", "held")
        ):
            n = min(fewer, self.model.owed[key][place])
            self.model.move(key, n, place, ("cancelled", ""))
            fewer -= n
        assert not fewer, f"{key}: {fewer} pieces are wanted no more, but on paper"

    @staticmethod
    def _fewest(pulled: list[int], surplus: int) -> None:
        """Bags are pulled only for what is too much, and none of them for nothing."""
        if surplus <= 0:
            assert not pulled
        else:
            assert sum(pulled) >= surplus > sum(pulled) - min(pulled)

    @precondition(lambda self: self.model.numbers())
    @rule(data=st.data())
    def cancel(self, data: st.DataObject) -> None:
        """What was not sent of an order is wanted no more."""
        number = self.an_order(data)
        ended, sealed = self._ended(number), self.sealed(number)
        package_of = self.package_of()
        must = "refuse" if ended or sealed else "pass"
        done = self.attempt(cancel_order, number, "called", must=must, why=f"{number} {ended} {sealed}")
        if done is None:
            return
        self.model.unbox(number, package_of)
        on_paper = {code for code, bag in self.model.bags.items() if bag.key[0] == number and self._is_here(code)}
        assert {bag.bag_code for bag in done.pulled} == on_paper
        for bag in done.pulled:
            self.was_pulled.add(bag.bag_code)
            self.model.pull(bag.bag_code)
        self.model.move_all(number, ("waiting", "promised", "short", "held"), ("cancelled", ""))
        self.model.held.pop(number, None)

    def _is_here(self, code: str) -> bool:
        key = self.model.bags[code].key
        return bool(self.model.owed[key]["in a bag", code] or self.model.owed[key]["passed", code])

    @precondition(lambda self: self.model.numbers())
    @rule(data=st.data())
    def hold(self, data: st.DataObject) -> None:
        """An order is held, at whatever stage."""
        number = self.an_order(data)
        must = "refuse" if self._ended(number) else "pass"
        if self.attempt(hold_order, number, "address unclear", must=must, why=f"hold {number}") is not None:
            self.model.hold(number, "address unclear")

    @precondition(lambda self: self.model.held)
    @rule(data=st.data())
    def resume(self, data: st.DataObject) -> None:
        """A held order goes on."""
        number = self.draw(data, self.model.held)
        if self.attempt(resume_order, number, must="pass", why=number) is not None:
            self.model.move_all(number, ("held",), ("waiting", ""))
            del self.model.held[number]

    @precondition(lambda self: len(self.model.open_numbers()) > 1)
    @rule(data=st.data())
    def combine(self, data: st.DataObject) -> None:
        """Orders of one person go together."""
        with self.shop.reading() as books:
            alike = look_alike_orders(books)
        for one in alike:
            assert not any(set(self.model.at(number)) & {"in a bag", "passed", "shipped"} for number in one.numbers)
        if not alike:
            return
        first, *others = self.draw(data, [one.numbers for one in alike])
        lines = {number: self.find(OrderLine, order_number=number) for number in [first, *others]}
        if self.attempt(combine_orders, first, others, must="pass", why=f"{first} {others}") is None:
            return
        last = max(line.line_no for line in lines[first])
        reasons = [self.model.held.get(first, "")]
        for number in others:
            places = {line.line_no: last + place for place, line in enumerate(lines[number], start=1)}
            last = max(places.values())
            for key in self.model.keys(number):
                self._goes_over(key, places[key[1]], first)
            self.model.gone_over.add(number)
            reasons.append(self.model.held.pop(number, ""))
            if number in self.complete:
                self.complete.add(first)
        told = dict.fromkeys(one for one in reasons if one not in ("", "waits to be complete"))
        self.model.held.pop(first, None)
        self.replan([first])
        if told:
            self.model.held[first] = "; ".join(told)
            self.model.move_all(first, ["waiting"], HELD)
        else:
            self.model.move_all(first, ["held"], WAITING)

    def _goes_over(self, key: LineKey, line_no: int, first: str) -> None:
        """The pieces of a line are another order's; what was cancelled of them stays cancelled."""
        ordered, cancelled = self.model.ordered.pop(key), self.model.owed.pop(key)[CANCELLED]
        self.model.order((first, line_no, key[2]), ordered)
        self.model.move((first, line_no, key[2]), cancelled, WAITING, CANCELLED)

    @precondition(lambda self: self.was_pulled)
    @rule(data=st.data(), by=st.sampled_from([0, 0, -1, 1]))
    def put_a_bag_back(self, data: st.DataObject, by: int) -> None:
        """A pulled bag's pieces go into their bin as counted; the same bag can't be put back twice."""
        code = self.draw(data, self.was_pulled)
        must = "pass" if code in self.model.pulled else "refuse"
        (bag,) = self.find(PulledBag, bag_code=code)
        pieces = max(0, bag.pieces + by)
        self._put_back(code, pieces, must)

    def _put_back(self, code: str, pieces: int, must: str = "pass") -> None:
        if self.attempt(put_back, code, pieces=pieces, must=must, why=code) is None:
            return
        mine = self.model.pulled.pop(code)
        empty_into(self.model, mine.key[2], code, mine.bin_code, pieces)

    @precondition(lambda self: any("short" in self.model.at(number) for number in self.model.numbers()))
    @rule(data=st.data(), share=st.sampled_from(["all", "all", "some", "too many", "close"]))
    def make_or_buy(self, data: st.DataObject, share: str) -> None:
        """Jobs for what is short, no piece twice; pieces come for one, and the orders that wait for it are planned."""
        for supply in Supply:
            jobs = make_jobs(self.shop, supply, day=self.day, **self.who())
            again = make_jobs(self.shop, supply, day=self.day, **self.who())
            assert [job.number for job in again] == [job.number for job in jobs]
        jobs = [job for job in self.find(Job) if job.pieces_open]
        if not jobs:
            return
        number = self.draw(data, [job.number for job in jobs])
        job = next(one for one in jobs if one.number == number)
        if share == "close":
            self.attempt(close_job, number, "none to be had", must="pass")
            return
        pieces = {"all": job.pieces_open, "some": max(1, job.pieces_open // 2), "too many": job.pieces_open + 3}[share]
        bins = sorted((self.model.level(code), code) for code in self._bins_of(job.part_number))
        done = self.attempt(book_in, number, day=self.day, counted=pieces, must="pass", why=str(job))
        assert done is not None
        self.model.carry(job.part_number, pieces, None, ("bin", bins[0][1]))
        self.replan(done.orders)
        self.waits_by_plan()

    def _bins_of(self, part: str) -> list[str]:
        from fulfil.records.place import Bin

        return [place.code for place in self.find(Bin, part_number=part)]

    @precondition(lambda self: self.model.numbers())
    @rule(data=st.data(), service=st.sampled_from(["ROAD", "AIR"]))
    def another_service(self, data: st.DataObject, service: str) -> None:
        """An order goes by another service: its boxes are chosen anew."""
        number = self.an_order(data)
        ended, sealed = self._ended(number), self.sealed(number)
        package_of = self.package_of()
        must = "refuse" if ended or sealed else "pass"
        if self.attempt(change_service, number, service, must=must, why=f"{number} {ended} {sealed}") is not None:
            self.model.unbox(number, package_of)
            self.service[number] = service


def empty_into(model: Model, part: str, code: str, bin_code: str, pieces: int) -> None:
    """What lay in a bag goes into a bin, counted: what is more or fewer than the books had was found or is gone."""
    had = model.stock.setdefault(part, Counter())["bag", code]
    model.carry(part, min(had, pieces), ("bag", code), ("bin", bin_code))
    if pieces > had:
        model.carry(part, pieces - had, None, ("bin", bin_code))
    elif had > pieces:
        model.carry(part, had - pieces, ("bag", code), None)
