"""The mistake report: where bags go wrong, by part, bin, look-alike pair, scale and claim. It names no person.

A mistake is a bag that was sent back, counted once however often it came back; a verdict that was undone doesn't count.
The share of mistakes among the bags checked comes with its 95 % interval from Jeffreys' prior, Beta(k + ½, n − k + ½)
(L. D. Brown, T. T. Cai and A. DasGupta, Statistical Science 16 (2001) 101, doi 10.1214/ss/1009213286), so that one slip
in three bags doesn't look like a third of all.

What the checks missed comes from the customers: ``claims`` counts their claims by part and cause.

Limits: a bag that goes wrong and nobody notices, nor claims, is in no report; a part rarely picked has a wide interval.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from fulfil.counting.mistake_rates import mistake_rates
from fulfil.despatch.claims import claim_frame
from fulfil.records.bench import Recount, RecountState
from fulfil.records.plan import Bag, WalkRecord
from fulfil.store.shop import Shop
from fulfil.weighing.causes.learned_priors import LearnedRate

if TYPE_CHECKING:
    import pandas as pd

WEEKS = 13
"""Over how many weeks the report goes when nobody says from when on."""
COLUMNS = ("bags_checked", "bags_sent_back", "share", "share_low", "share_high", "likely_cause")


@dataclass(frozen=True)
class MistakeReport:
    """Bags checked and sent back, frames ``parts``, ``bins``, ``scales``, ``pairs``, ``claims``, most first.

    ``rates`` are how often each mistake happens here, by the last days' verdicts: where a diagnosis starts from.
    """

    bags_checked: int
    bags_sent_back: int
    frames: "dict[str, pd.DataFrame]"
    rates: tuple[LearnedRate, ...] = ()


def mistakes(shop: Shop, *, since: date | None = None) -> MistakeReport:
    """The report over all walks from a day on; None: of the last :data:`WEEKS` weeks that had walks."""
    import pandas as pd

    with shop.reading() as books:
        last_day = books.greatest(WalkRecord, "day")
        if since is None and last_day is not None:
            since = last_day - timedelta(weeks=WEEKS)
        walks = [walk.number for walk in books.between(WalkRecord, "day", since)]
        bags = books.fields(Bag, ("code", "part_number", "bin_code", "scale_code", "checks"), walk_number=walks)
        slips = [slip for slip in books.find(Recount, walk_number=walks) if slip.state is not RecountState.UNDONE]
        claims = claim_frame(books, since=since)
        rates = mistake_rates(books)
    first = {slip.bag_code: slip for slip in reversed(slips)}
    checked = pd.DataFrame(
        [(code, part, place, scale or "by hand") for code, part, place, scale, checks in sorted(bags) if checks > 0],
        columns=["bag", "part", "bin", "scale"],
    )
    back = pd.DataFrame(
        [(slip.bag_code, slip.likely_cause or slip.sent_back_for.value, slip.other_part) for slip in first.values()],
        columns=["bag", "cause", "other_part"],
    )
    joined = checked.merge(back, on="bag", how="left", validate="one_to_one")
    frames = {f"{name}s": _by(joined, name) for name in ("part", "bin", "scale")}
    frames["pairs"] = _pairs(joined)
    frames["claims"] = claims
    return MistakeReport(len(joined), int(joined["cause"].notna().sum()), frames, rates)


def _by(joined: "pd.DataFrame", name: str) -> "pd.DataFrame":
    """One row for each value that had a mistake; ties by name."""
    from scipy.stats import beta

    grouped = joined.groupby(name)
    counts = grouped.agg(bags_checked=("bag", "count"), bags_sent_back=("cause", "count"))
    counts = counts[counts["bags_sent_back"] > 0].reset_index()
    right, wrong = counts["bags_checked"] - counts["bags_sent_back"], counts["bags_sent_back"]
    counts["share"] = wrong / counts["bags_checked"]
    counts["share_low"] = beta.ppf(0.025, wrong + 0.5, right + 0.5)
    counts["share_high"] = beta.ppf(0.975, wrong + 0.5, right + 0.5)
    causes = joined.dropna(subset=["cause"]).groupby(name)["cause"]
    # The usual cause of each; mode() gives equally frequent ones in the order of the alphabet.
    counts["likely_cause"] = counts[name].map(causes.agg(lambda found: found.mode().iloc[0]))
    ordered = counts.sort_values(["bags_sent_back", "share_low", name], ascending=[False, False, True])
    return ordered[[name, *COLUMNS]].reset_index(drop=True)


def _pairs(joined: "pd.DataFrame") -> "pd.DataFrame":
    """Which part was likely taken for which."""
    named = joined[joined["other_part"].fillna("") != ""]
    counts = named.groupby(["part", "other_part"]).agg(bags_sent_back=("bag", "count")).reset_index()
    ordered = counts.sort_values(["bags_sent_back", "part", "other_part"], ascending=[False, True, True])
    return ordered.reset_index(drop=True)
