"""A shop's pages in a process that a test can kill: ``python -m tests.stations.served_shop SHOP PORT AT``.

The clock stands at AT; keys of pages are random, since two servers of one shop come after each other.
"""

import secrets
import sys
from datetime import datetime

import uvicorn

from fulfil.bench.devices import signing_key
from fulfil.stations.house import House
from fulfil.stations.server import make_server
from fulfil.store.shop import open_shop
from tests.stations.tablet import HOSTS


def main(path: str, port: int, at: datetime) -> None:
    """Serves until it is killed."""
    with open_shop(path) as shop:
        key = signing_key(shop, "k" * 64)
        house = House(shop=shop, clock=lambda: at, fresh=lambda: secrets.token_urlsafe(12), key=key, hosts=HOSTS)
        uvicorn.run(make_server(house), host="127.0.0.1", port=port, log_level="error", access_log=False)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), datetime.fromisoformat(sys.argv[3]))
