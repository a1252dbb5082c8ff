"""``fulfil shop``: make a shop, bring it up to date, hold its books against their moves."""

import click

from .frame import Answer, Ask, Noun, command, listed


@click.group(cls=Noun)
def shop() -> None:
    """Make a shop's database, bring it up to this release."""


@command(shop, "create", "fulfil shop create --shop my-shop.sqlite")
def create(ask: Ask) -> Answer:
    """Makes an empty shop: one database file, or any SQLAlchemy URL."""
    with ask.shop(create=True):
        pass
    return Answer([f"Shop {ask.where} is ready. Next: fulfil catalogue import FOLDER."], {"shop": ask.where})


@command(shop, "upgrade", "fulfil shop upgrade --shop my-shop.sqlite")
def upgrade(ask: Ask) -> Answer:
    """Brings a shop made by an older release up to this one; copy the file first."""
    from fulfil.store.shop import upgrade_shop

    upgrade_shop(ask.where)
    return Answer([f"Shop {ask.where} fits this release."], {"shop": ask.where})


@command(shop, "verify", "fulfil shop verify")
def verify(ask: Ask) -> Answer:
    """Recomputes both books of pieces from their moves and names every difference; changes nothing."""
    from fulfil.orders.verify import verify_shop

    with ask.shop() as opened:
        found = verify_shop(opened)
    says = "Both books add up: every piece has one place." if not found else f"{len(found)} differences:"
    return Answer([says, *listed(found)], {"findings": [one.as_dict() for one in found]}, must_act=bool(found))
