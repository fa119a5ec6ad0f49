"""Opening a build, and printing what it lists."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from app.assembly.build import Build
from app.assembly.standing.survey import Survey
from app.cli.saying import print_values, this_moment
from app.cli.trouble import Trouble
from app.store.workshop import Workshop
from app.words.telling import Values


@contextmanager
def open_build(directory: Path, name: str, *, write: bool = False) -> Iterator[tuple[Workshop, Build]]:
    """A workshop and one of its builds, by name or number."""
    with Workshop.open_at(directory, now=this_moment(), write=write) as workshop:
        yield workshop, workshop.load(workshop.find(name))


def list_values(
    folder: Path, name: str, values: Callable[[Survey], list[Values]], as_json: bool, line: Callable[[Values], str]
) -> None:
    """Print what a build lists at this moment."""
    with open_build(folder, name) as (_, build):
        found = values(Survey(build, this_moment()))
    print_values(found, as_json, line)


def check_stage(build: Build, stage: int | None) -> None:
    if stage is not None and not any(one.number == stage for one in build.stages):
        raise Trouble([f"There is no stage {stage}; the stages run from 1 to {len(build.stages)}."])
