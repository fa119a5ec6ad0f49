"""What the tests of all step sheets share: plans fresh from the shelf, what stands in a block, and printing it."""

import shutil
from pathlib import Path

from click.testing import CliRunner
from msgspec.structs import force_setattr

from app.assembly.make import begin_build, make_blank
from app.assembly.standing.survey import Survey
from app.cli.main import main
from app.paper.pdf.items import Item, Lines, Rule, Text
from app.paper.pdf.strips import Group
from app.paper.traveller.traveller import write_traveller
from tests.cases.story import shipped
from tests.paper.builds import BEGUN, Hand
from tests.paper.reading import ink_box_mm

ROOT = Path(__file__).parents[2]
PLANS = sorted((ROOT / "resources" / "plans").glob("*.toml"))
# Markup, signs the typeface lacks, one endless word, and far too many.
HOSTILE = ["<b>bold</b> & ( \\\\ {0}", "名前 🔧", "W" * 3000, "a word " * 600]


def fresh(path: Path, options: dict[str, str] | None = None) -> Survey:
    """A build of a shipped plan with nothing done."""
    build = begin_build(make_blank(shipped(path.stem), options or {}), key=1, name="Grey four", made=BEGUN)
    return Survey(build, BEGUN)


def items(group: Group) -> list[Item]:
    """All that is drawn in a block."""
    return [one for strip in group.strips for item in strip.items for one in apart(item)]


def apart(item: Item) -> list[Item]:
    """Lines that stand together, each by itself; whatever else as it is."""
    if not isinstance(item, Lines):
        return [item]
    return [Rule(item.x + x1, item.y + y1, item.x + x2, item.y + y2, item.width) for x1, y1, x2, y2 in item.lines]


def texts(group: Group) -> list[str]:
    """The words of a block, piece by piece."""
    return [one.text for one in items(group) if isinstance(one, Text)]


def print_it(folder: Path, survey: Survey, **how: object) -> Path:
    """The traveller as a PDF whose bytes hang on nothing but the build."""
    out = folder / "sheet.pdf"
    write_traveller(out, survey, number=2, invariant=True, **how)  # type: ignore[arg-type]
    return out


def stays_inside_with(text: str, hand: Hand, folder: Path) -> None:
    """With this text for its line and every place, no ink leaves the live area."""
    line = hand.build.lines[0]
    for what in ("do", "note"):
        force_setattr(line.step, what, text)
    for place in line.places:
        force_setattr(place, "title", text)
    for left, top, right, bottom in ink_box_mm(print_it(folder, hand.survey)):
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4


def printed_by_verb(folder: Path, build: str, stage: str, *options: str) -> Path:
    """A stage of a sample build as the verb prints it."""
    workshop, out = folder / "workshop", folder / "out.pdf"
    if not workshop.exists():
        shutil.copytree(ROOT / "demo_data" / "workshop", workshop)
    done = CliRunner().invoke(main, ["traveller", str(workshop), build, "--out", str(out), "--stage", stage, *options])
    assert done.exit_code == 0, done.output
    return out
