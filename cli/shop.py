"""``fulfil shop``: make a shop."""

import click

from .frame import Answer, Ask, command


@click.group()
def shop() -> None:
    """Make a shop's database."""


@command(shop, "create", "fulfil shop create --shop my-shop.sqlite")
def create(ask: Ask) -> Answer:
    """Makes an empty shop: one database file, or any SQLAlchemy URL."""
    with ask.shop(create=True):
        pass
    return Answer([f"Shop {ask.where} is ready. Next: fulfil catalogue import FOLDER."], {"shop": ask.where})
