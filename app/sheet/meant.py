"""How a line's figure is meant and its readings are taken, as rows of words."""

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.standing.survey import Survey
from app.assembly.standing.verdicts import under_in
from app.assembly.standing.widths import is_open
from app.sheet.rows import Run
from app.sheet.sections import Item, plain
from app.trade.notation import write_limits
from app.words.conditions import conditions_words


def meant_items(survey: Survey, line: Line, bounds: Bounds) -> tuple[Item, ...]:
    """The width of a single figure, its conditions, the limit of a worn part, and how the line is read."""
    rows = []
    if is_open(survey.build, line):
        rows.append(Item((Run("A single figure: nobody said how far from it is still right. F says it.", "stop"),)))
    elif bounds.width:
        rows.append(plain(f"{write_limits(bounds.own)}: {bounds.width}"))
    words = conditions_words(bounds.conditions)
    words += [f"a worn part {write_limits(bounds.worn)}"] if bounds.worn is not None else []
    rows += [plain(", ".join(words))] if words else []
    under = under_in(survey.build, line)
    rows += [plain(f"Read here {under.text}")] if under is not None and under.text else []
    return tuple(rows)
