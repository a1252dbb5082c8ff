"""Migrations, run from Python: the steps that bring a shop's database to the newest shape.

The steps are in ``migrations/versions``, one file each, numbered. To add one: change ``tables.py``, call :func:`draft`
in a scratch script, read and correct what it wrote, and run the tests, which compare the migrated schema with the
tables. The release works with the highest number.
"""

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import URL
from sqlalchemy.engine import Connection

from fulfil.store.engine import writing_engine
from fulfil.store.safe.analysts import drop_views, write_views
from fulfil.store.safe.chain import seal_older

FOLDER = Path(__file__).parent / "migrations"


def upgrade(connection: Connection, to: str = "head") -> None:
    """Runs the missing steps inside the caller's transaction; what was recorded before there was a chain is sealed.

    The views for analysts are made anew: a table that a view shows can't be altered.
    """
    drop_views(connection)
    command.upgrade(_config(connection), to)
    if to == "head":
        seal_older(connection)
        write_views(connection)


def newest() -> str:
    """The number of the last step."""
    from alembic.script import ScriptDirectory

    return str(ScriptDirectory.from_config(_config()).get_current_head())


def draft(database: Path, says: str, number: str) -> None:
    """Writes the next step's file from what differs between a shop of the last step and the tables."""
    engine = writing_engine(URL.create("sqlite", database=str(database)), wait_s=1)
    with engine.begin() as connection:
        upgrade(connection)
        command.revision(_config(connection), says, autogenerate=True, rev_id=number)
    engine.dispose()


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config
