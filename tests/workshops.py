"""Workshops with one new build, made once and handed out as copies: making one anew takes all migrations each time."""

import tempfile
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from app.assembly.make import make_blank
from app.exchange.plan_file import parse_plan
from app.store.database import FILE
from app.store.workshop import PHOTOS, Workshop

JUST_NOW = datetime.now(UTC)


def put_workshop(folder: Path, *, plan: str, build: str, by: str, made: datetime, initials: str = "") -> Path:
    """Put a workshop with a build of this plan (its text) into a new folder; gives the folder."""
    (folder / PHOTOS).mkdir(parents=True)
    (folder / FILE).write_bytes(_made(plan, build, by, made, initials))
    return folder


@cache
def _made(plan: str, build: str, by: str, made: datetime, initials: str) -> bytes:
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room) / "garage"
        with Workshop.create(folder, name="Garage", now=made) as workshop:
            workshop.make_build(build, make_blank(parse_plan(plan), {}), plan, by=by, now=made)
            if initials:
                workshop.keep_initials(initials)
        return (folder / FILE).read_bytes()
