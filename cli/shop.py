"""``fulfil shop``: make a shop."""

import click

from .frame import Answer, Ask, Noun, command


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
