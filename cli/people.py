"""``fulfil people``: who works here, with badge, PIN and roles, for the pages of the stations."""

import secrets

import click

from .frame import Answer, Ask, Noun, command, table

ROLES = ("pick", "check", "pack", "clerk", "owner")


@click.group(cls=Noun)
def people() -> None:
    """Say who works here and may do what: badge, PIN, roles."""


_NAME = click.argument("name", metavar="NAME")
_ROLE = click.option("--role", "roles", multiple=True, type=click.Choice(ROLES), help="What they may do; several.")


@command(people, "add", "fulfil people add anna --role check --role pack")
@_NAME
@_ROLE
@click.option("--pin", default="", help="For scripts; else it is asked for, unseen.")
def add(ask: Ask, name: str, roles: tuple[str, ...], pin: str) -> Answer:
    """Lets a person sign in at stations: the name is what the badge says."""
    from fulfil.bench.people import add_person
    from fulfil.records.bench import Role

    if not roles:
        raise click.UsageError(f"Say what {name} may do: --role {', '.join(ROLES)}.")
    chosen = pin or _asked_pin(name)
    with ask.shop() as shop:
        salt = secrets.token_bytes(16)
        added = add_person(shop, name, [*map(Role, roles)], chosen, salt=salt, at=ask.at, person=ask.person)
    lines = [f"{name} may {added.roles}.", f"Badge: fulfil bench cards --out papers --badge {name}"]
    return Answer(lines, {"name": name, "roles": added.roles.split()})


@command(people, "change", "fulfil people change anna --role check --new-pin")
@_NAME
@_ROLE
@click.option("--new-pin", is_flag=True, help="Ask for another PIN, unseen.")
@click.option("--pin", default="", help="Another PIN, for scripts.")
def change(ask: Ask, name: str, roles: tuple[str, ...], new_pin: bool, pin: str) -> Answer:
    """Gives a person other roles or another PIN; where they are signed in they are signed out."""
    from fulfil.bench.people import change_person
    from fulfil.records.bench import Role

    if not (roles or new_pin or pin):
        raise click.UsageError("Say what changes: --role, --new-pin.")
    chosen = pin or (_asked_pin(name) if new_pin else None)
    with ask.shop() as shop:
        changed = change_person(
            shop,
            name,
            roles=[*map(Role, roles)] if roles else None,
            pin=chosen,
            salt=secrets.token_bytes(16),
            at=ask.at,
            person=ask.person,
        )
    said = f"{name} may {changed.roles}{', with a new PIN' if chosen else ''}."
    return Answer([said], {"name": name, "roles": changed.roles.split()})


@command(people, "retire", "fulfil people retire anna")
@_NAME
def retire(ask: Ask, name: str) -> Answer:
    """Says that somebody works here no more; what they did stays in the journal."""
    from fulfil.bench.people import retire_person

    with ask.shop() as shop:
        retire_person(shop, name, at=ask.at, person=ask.person)
    return Answer([f"{name} can sign in nowhere any more."], {"name": name})


@command(people, "list", "fulfil people list")
def list_(ask: Ask) -> Answer:
    """Lists who works here."""
    from fulfil.records.bench import Person

    with ask.shop() as shop, shop.reading() as books:
        found = books.find(Person)
    rows = [(one.name, one.roles, "no more" if one.is_retired else "") for one in found]
    facts = [{"name": one.name, "roles": one.roles.split(), "is_retired": one.is_retired} for one in found]
    return Answer(table(rows, ("person", "may", "works here")), {"people": facts})


def _asked_pin(name: str) -> str:
    asked: str = click.prompt(f"PIN of {name}, 4 to 8 digits", hide_input=True, confirmation_prompt=True)
    return asked
