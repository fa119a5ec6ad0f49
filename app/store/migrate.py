"""Bringing a workshop's database to the newest revision, with a backup first."""

from datetime import datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

from app.store.backup import back_up
from app.store.database import APPLICATION_ID, make_engine
from app.store.errors import StoreError

SCRIPTS = Path(__file__).parent / "migrations"


def migrate(path: Path, *, now: datetime, backups: Path, scripts: Path = SCRIPTS, to: str = "head") -> None:
    """Upgrade the file at `path`, making it if there is none. An existing file is backed up into `backups` first.

    All steps of the upgrade are one transaction with foreign keys switched off before it begins (inside one the switch
    is silently ignored, and rebuilding a parent table would delete its children). Dangling rows make it fail whole.
    """
    if path.exists():
        backups.mkdir(exist_ok=True)
        back_up(path, backups / f"before-upgrade-{now:%Y%m%d-%H%M%S}.db")
    engine = make_engine(path, foreign_keys=False)
    try:
        with engine.begin() as connection:
            _upgrade(connection, scripts, to)
            connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
            _check_links(connection, path)
    finally:
        engine.dispose()


def _upgrade(connection: Connection, scripts: Path, to: str) -> None:
    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, to)


def _check_links(connection: Connection, path: Path) -> None:
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if dangling:
        tables = ", ".join(sorted({str(row[0]) for row in dangling}))
        raise StoreError(
            f"{path} was not upgraded: rows in {tables} would have lost what they belong to. Nothing was changed."
        )
