"""The shop's own mistake rates: conjugate, from what a person found out, shown with their counts."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from scipy.stats import beta

from cli.main import main
from fulfil.bench.check import Seen, check_bag
from fulfil.counting.mistake_rates import mistake_rates, shop_priors
from fulfil.errors import WeighingRefused
from fulfil.records.plan import Bag, CountMethod
from fulfil.store.shop import open_shop
from fulfil.weighing.causes.learned_priors import PRIOR_BAGS, Found, learned_rates
from fulfil.weighing.causes.mistake_priors import BAG_PRIORS, BagPriors
from tests.bench_shop import AT, bench_shop


def test_a_rate_is_the_mean_of_its_beta() -> None:
    """Beta(a + k, b + n - k), JCGM 106:2012 gives the same rule for a normal prior; limits against scipy.stats."""
    (rate,) = learned_rates(BAG_PRIORS, {"one_short": Found(7, 300)})
    posterior = beta(PRIOR_BAGS * 0.006 + 7, PRIOR_BAGS * 0.994 + 293)
    assert rate.rate == pytest.approx(posterior.mean())
    assert (rate.low, rate.high) == pytest.approx(posterior.interval(0.95))


def test_no_verdict_leaves_the_given_rates() -> None:
    """Nothing found in nothing."""
    (rate,) = learned_rates(BAG_PRIORS, {"one_over": Found(0, 0)})
    assert rate.rate == pytest.approx(rate.given)


@pytest.mark.parametrize(("count", "of"), [(3, 2), (-1, 5)])
def test_more_found_than_checked_is_refused(count: int, of: int) -> None:
    """And so is a rate that no count can move."""
    with pytest.raises(WeighingRefused, match="bags found among bags checked"):
        Found(count, of)
    with pytest.raises(WeighingRefused, match="a rate between 0 and 1"):
        learned_rates(BagPriors(one_short=0.0), {"one_short": Found(0, 1)})


def test_a_shops_counts_move_its_priors_and_are_shown(tmp_path: Path) -> None:
    """Three hand-counted bags, one of them one short, one seen to hold another part; a weight that was off is none."""
    path = tmp_path / "shop.sqlite"
    codes = [code for found in bench_shop(path, orders=3, bags=8).values() for code in found]
    with open_shop(path) as shop:
        with shop.reading() as books:
            bags = [books.need(Bag, code) for code in codes]
        by_hand = [bag for bag in bags if bag.method is CountMethod.HAND][:3]
        weighed = [bag for bag in bags if bag.method is CountMethod.WEIGH][:2]
        assert len(by_hand) == 3
        for bag, off in zip(by_hand, (0, -1, 0), strict=True):
            check_bag(shop, bag.code, Seen(counted=bag.pieces + off), at=AT, person="anna")
        check_bag(shop, weighed[0].code, Seen(looks_wrong="black, not zinc"), at=AT, person="anna")
        assert weighed[1].lower_g is not None
        check_bag(shop, weighed[1].code, Seen(gross_g=weighed[1].lower_g - 1), at=AT, person="anna")
        with shop.reading() as books:
            rates = {rate.name: rate for rate in mistake_rates(books)}
            priors = shop_priors(books)

    assert rates["one_short"].found == Found(1, 3)
    assert rates["one_over"].found == Found(0, 3)
    assert rates["look_alike"].found == Found(1, 5)
    assert priors.one_short == pytest.approx((500 * 0.006 + 1) / 503)
    assert priors.tare_twice == BAG_PRIORS.tare_twice
    shown = CliRunner().invoke(main, ["bench", "mistakes", "--shop", str(path)]).output
    assert "one short" in shown
    assert f"{rates['one_short'].rate:.2%}" in shown
