"""Rights on PostgreSQL: the benches can't close a manifest or a day, and nobody writes over what was recorded.

>>> "GRANT INSERT, UPDATE, DELETE ON bag" in roles_sql(), "UPDATE, DELETE ON journal_entry" in roles_sql()
(True, False)

Three roles, each granted to the logins of those who work so. ``fulfil_bench`` checks and packs; ``fulfil_clerk`` does
all that the shop's steps do; both only add to what is recorded. ``fulfil_analyst`` reads the views for analysts and no
table. Upgrades, and forgetting customers, are the owner's of the database: only the owner may write a recorded text
anew, and the triggers and the chain still hold for the owner.

Limits: on SQLite, who can write the file can write all of it; the chain tells.
"""

from collections.abc import Iterator

from fulfil.store.safe.analysts import KINDS, view_name
from fulfil.store.tables import APPEND_ONLY, all_tables

BENCH, CLERK, ANALYST = "fulfil_bench", "fulfil_clerk", "fulfil_analyst"
NOT_BENCH = (
    "carrier_bill",
    "bill_line",
    "billed_surcharge",
    "charge",
    "charged_surcharge",
    "closed_day",
    "manifest",
    "manifest_copy",
    "manifest_void",
    "settlement",
    "settings",
)
"""Tables that a bench only reads: what left, what it cost, what was signed for."""
OWNER = ("erasure",)
"""Tables that only the owner of the database writes."""


def roles_sql() -> str:
    """The statements, for ``psql`` as the owner of the shop's database; run again, they change nothing."""
    return "\n".join([*_statements(), ""])


def _statements() -> Iterator[str]:
    yield "-- Rights on a fulfil shop; run as the owner of its database, again after each upgrade."
    for role in (BENCH, CLERK):
        yield _made(role)
        yield f"REVOKE ALL ON ALL TABLES IN SCHEMA public FROM {role};"
        yield f"GRANT USAGE ON SCHEMA public TO {role};"
        yield f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {role};"
        yield f"GRANT USAGE ON ALL SEQUENCES IN SCHEMA public TO {role};"
        for table in sorted(all_tables().tables):
            if table in OWNER or (role == BENCH and table in NOT_BENCH):
                continue
            rights = "INSERT" if table in APPEND_ONLY else "INSERT, UPDATE, DELETE"
            yield f"GRANT {rights} ON {table} TO {role};"
    yield _made(ANALYST)
    yield f"GRANT USAGE ON SCHEMA public TO {ANALYST};"
    yield f"GRANT SELECT ON {', '.join(map(view_name, KINDS))} TO {ANALYST};"


def _made(role: str) -> str:
    return (
        f"DO $$ BEGIN IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = '{role}')"  # noqa: S608
        f" THEN CREATE ROLE {role} NOLOGIN; END IF; END $$;"
    )
