"""A scale at the bench's own serial port, read by the page where the browser can (Web Serial, WICG draft report).

The page's script sends each line that came often enough in a row; what a line means is said here, by the shop's own
pattern, and weighed as from any scale that sends by itself (:mod:`fulfil.stations.scale_page`). ``again`` in the answer
asks for the same line once more while the load lies there: its bag may only now be in hand.
"""

from starlette.responses import JSONResponse, Response

from fulfil.checking.reading import PATTERN, LineReader
from fulfil.counting.scale_checks import usable_scale
from fulfil.errors import Refusal
from fulfil.stations.house import House
from fulfil.stations.scale_page import weighed
from fulfil.stations.visit import Visit

PATH = "/bench/scale"


def take(house: House, visit: Visit) -> Response:
    """A line that the scale sent; whether it was taken, what the bench said, whether to send it again."""
    station, worker = visit.station, visit.worker
    at_work = house.bench_of(station) if station is not None else None
    if station is None or worker is None or at_work is None:
        return JSONResponse({"taken": False, "again": False, "says": "Nobody is signed in at this bench."}, 403)
    try:
        with house.shop.reading() as books:
            scale = usable_scale(books, visit.form.get("scale", ""))
            reader = LineReader(books.settings().scale_line or PATTERN)
    except Refusal as refusal:
        return JSONResponse({"taken": False, "again": False, "says": str(refusal)}, 404)
    reading = reader.read(visit.form.get("line", "")[:200])
    if reading is None or not reading.is_steady:
        return JSONResponse({"taken": False, "again": False, "says": ""})
    with at_work.lock:
        say = weighed(house, visit, at_work, reading, scale, worker)
    is_load = abs(reading.mass_g) > 2 * scale.d_g
    return JSONResponse({"taken": say is not None, "again": is_load, "says": "" if say is None else say.headline})
