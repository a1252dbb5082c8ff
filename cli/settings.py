"""``fulfil settings``: what is set on this computer, so that it needn't be typed."""

import os

import click

from . import own_settings
from .frame import Answer, Ask, Noun, command, table
from .own_settings import MEANINGS


@click.group(cls=Noun)
def settings() -> None:
    """Show, set and explain what needn't be typed on this computer: shop, person, folder for papers."""


@command(settings, "show", "fulfil settings show")
def show(ask: Ask) -> Answer:
    """Shows what holds here, and where it comes from."""
    kept = own_settings.read()
    rows = []
    for name, (_, variable, _) in MEANINGS.items():
        by_environment = os.environ.get(variable, "") if variable else ""
        value, source = (by_environment, variable) if by_environment else (kept.get(name, ""), "the file")
        rows.append((name, value or "–", source if value else "not set"))
    path = own_settings.where()
    facts = {"file": str(path), "settings": {name: {"value": value, "from": came} for name, value, came in rows}}
    return Answer([*table(rows, ("setting", "value", "from")), f"The file: {path}"], facts)


@command(settings, "set", "fulfil settings set person mara")
@click.argument("name", type=click.Choice([*MEANINGS]))
@click.argument("value")
def set_(ask: Ask, name: str, value: str) -> Answer:
    """Sets one, or takes it out again: `fulfil settings set person ''`."""
    path = own_settings.write(name, value)
    said = f"{name} is {value}" if value else f"{name} is not set any more"
    return Answer([f"{said}, in {path}."], {"file": str(path), "setting": name, "value": value})


@command(settings, "explain", "fulfil settings explain")
def explain(ask: Ask) -> Answer:
    """Says what each setting means, and what comes before it."""
    rows = [(name, option, variable or "–", means) for name, (option, variable, means) in MEANINGS.items()]
    lines = [
        "Typed options come first, then the environment, then the file, then the command's own default.",
        *table(rows, ("setting", "option", "environment", "means")),
        f"The file: {own_settings.where()} (TOML); FULFIL_SETTINGS names another.",
        "What the shop has set (risks, paper, currency) comes in with its settings.csv.",
    ]
    facts = {
        name: {"option": option, "environment": variable, "means": means}
        for name, (option, variable, means) in MEANINGS.items()
    }
    return Answer(lines, {"settings": facts, "file": str(own_settings.where())})
