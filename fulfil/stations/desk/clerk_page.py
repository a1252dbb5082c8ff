"""The clerk's page: what is next, and by touch what a step of the rooms can do: print, close, settle, let go on."""

from starlette.responses import Response

from fulfil.counting.scale_alarms import act_on_alarm
from fulfil.despatch.abroad.customs import review_hazards
from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.desk.to_print import orders_to_print
from fulfil.despatch.ship import close_manifest
from fulfil.errors import Refusal, StateRefused
from fulfil.orders.holding import resume_order
from fulfil.quantities import print_package_mass
from fulfil.records.bench import StationKind
from fulfil.shop.clock import local_day
from fulfil.stations.desk.clerk_view import clerk_view
from fulfil.stations.desk.lines import Told, take_line
from fulfil.stations.desk.order_steps import order_steps
from fulfil.stations.desk.second import agreed_by
from fulfil.stations.house import House
from fulfil.stations.visit import Visit, shown, worked_at
from fulfil.store.shop import Shop


@worked_at(StationKind.CLERK)
def show(house: House, visit: Visit) -> Response:
    """The desk as it is."""
    return _page(house, visit, Told())


@worked_at(StationKind.CLERK)
def take(house: House, visit: Visit) -> Response:
    """One thing done; the page after it."""
    assert visit.worker is not None  # noqa: S101
    assert visit.station is not None  # noqa: S101
    at, person, form, station = visit.at, visit.worker.name, visit.form, visit.station.name
    with house.shop.reading() as books:
        day = local_day(at, books.settings())

    def close(shop: Shop, service: str) -> tuple[str, ...]:
        agreed = agreed_by(house, visit, service)
        without = form.get("without_papers", "")
        done = close_manifest(shop, service, day=day, at=at, person=person, without_papers=without)
        many = f"{done.manifest.packages} package{'' if done.manifest.packages == 1 else 's'}"
        says = [f"Manifest {done.manifest.number} is closed: {many}, {print_package_mass(done.manifest.weight_g)}."]
        says += [f"Left behind, for the next one: {', '.join(done.left_behind)}."] if done.left_behind else []
        says.append(f"{agreed} agreed.")
        return (*says, *map(str, done.findings), *house.print_manifest(done.manifest.number, station))

    def settle(shop: Shop, code: str) -> tuple[str, ...]:
        word = Word(code, form.get(f"reason-{code}", ""), form.get("as") == "carry over")
        (done,) = settle_all(shop, [word], day=day, at=at, person=person)
        return (f"{done.difference} is {done.outcome}: {done.says}.",)

    def resume(shop: Shop, order: str) -> tuple[str, ...]:
        done = resume_order(shop, order, at=at, person=person)
        return (f"Order {order} goes on; it is {done.state}.",)

    def papers(_: Shop, service: str) -> tuple[str, ...]:
        with house.shop.reading() as books:
            orders = orders_to_print(books, service, day=day)
        says = tuple(line for order in orders for line in house.print_order(order, person, station))
        if not orders or not says:
            expected = "papers that are due, and a folder to print them into: fulfil stations open --papers FOLDER"
            raise StateRefused("print the papers of", service, expected)
        return says

    def end(shop: Shop, _: str) -> tuple[str, ...]:
        agreed = agreed_by(house, visit, f"{day}")
        done = close_day(shop, day=day, at=at, person=person)
        shipped = f"{done.shipped} of {done.ordered} pieces shipped, {done.packages} packages"
        return (f"{done.day} is closed: {shipped}. {agreed} agreed.",)

    def review(shop: Shop, package: str) -> tuple[str, ...]:
        done = review_hazards(shop, package, form.get("reason", ""), at=at, person=person)
        says = f"Reviewed by {person}: {done.hazards}. Weigh package {package} again to seal it."
        return (says, "What its service refuses stays refused; the carrier's rules and local codes govern.")

    def acted_on(shop: Shop, scale: str) -> tuple[str, ...]:
        with shop.writing() as books:
            act_on_alarm(books, scale, form.get("reason", ""), at=at, person=person)
        return (f"The alarm of scale {scale} ends. Next: check it (fulfil scales check {scale}).",)

    steps = {"close": close, "settle": settle, "resume": resume, "print": papers, "close-day": end}
    steps |= {"review": review, "acted-on": acted_on, **order_steps(visit)}
    return _page(house, visit, take_line(house, visit, steps))


def _page(house: House, visit: Visit, told: Told) -> Response:
    looked_for, order = visit.query.get("find", "")[:100], {**visit.query, **visit.form}.get("order", "")[:60]
    with house.shop.reading() as books:
        whole = visit.query.get("whole") == "1" or visit.form.get("line", "").startswith("settle ")
        try:
            view = clerk_view(books, at=visit.at, looked_for=looked_for, order=order, whole=whole)
        except Refusal as refusal:
            told = Told((str(refusal),), is_refused=True)
            view = clerk_view(books, at=visit.at, looked_for=looked_for)
    return shown("clerk.html", visit, view=view, told=told, key=house.fresh(), closes_alone=house.closes_alone)
