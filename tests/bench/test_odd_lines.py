"""Lines that no scanner should send, at both benches: heard, said in a sentence, and the bench goes on."""

from collections.abc import Iterator

import pytest

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.checking.saying import Sound
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop whose walks are released."""
    path = tmp_path_factory.mktemp("odd") / "shop.sqlite"
    bench_shop(path, orders=1, bags=1)
    with open_shop(path) as opened:
        yield opened


@pytest.mark.parametrize("kind", [CheckBench, PackBench])
@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("@Zo\u00eb", "'Zo\u00eb' is no badge of this shop"),
        ("@" + "a" * 41, "is no badge of this shop: its name has up to 40"),
        ("@\ud800", "is no badge of this shop"),
        ("O-\ud8001001", "\ufffd1001' is not"),
        ("\x00", "'\ufffd' is not"),
        ("9" * 3000, "is not"),
    ],
)
def test_the_bench_goes_on(kind: type[CheckBench | PackBench], line: str, says: str, shop: Shop) -> None:
    """A name that isn't ASCII, one that is too long, half a character, a control character, a key that hangs."""
    bench = kind(shop, kind.__name__, person="anna")
    bench.open()

    heard = bench.enter(line, at=AT)

    assert heard.sound is Sound.REFUSED
    assert says in heard.headline
    assert bench.enter("@anna", at=AT).sound is Sound.NONE
