"""The stops of a lash line on its step sheet: how the crank stands, which valves are set there, and their fields."""

from functools import lru_cache

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.standing.lash_stops import cam_words, lash_stops
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.paper.pdf.items import Item
from app.paper.pdf.letters import Span, sentence
from app.paper.pdf.strips import WIDTH, Strip, lowered, text_strips
from app.paper.steps.parts import as_one, drawn_items, halves_for
from app.paper.steps.write_grid import WriteRow, cells_wanted, grid_rows, slot_of, unit_words
from app.sheet.draw.dial import ValveRow, dial_drawing, valve_map
from app.sheet.draw.drawing import Drawing
from app.sheet.draw.tokens import SECOND
from app.sheet.grid import grid_view
from app.sheet.lash import LashView, lash_view
from app.trade.valves import GENERAL_CAM_SAYS

# The smallest words of the dial and of the map, 17 and 15 of their units, are 9 points with these.
_DIAL_WIDE, _DIAL_SCALE = 360.0, 9.0 / 17
_MAP_SCALE = 9.0 / 15
_MAP_X = 202.0
_ROW = 32.0
_AIR = 4.0
# As many rows as stand beside the dial; an engine with more valves shows those of the stop.
_BESIDE_DIAL = 8
# With the lines for notes under it a stop of more half rows would not fit a page.
_MOST_HALVES = 36


def said_of_stops(survey: Survey) -> str:
    """What the stops were worked out from, a general cam said to be one; raises ValueError where there are none."""
    found = lash_stops(survey.build)
    said = GENERAL_CAM_SAYS if found.general else cam_words(found)
    return f"{said} Every valve is at least {found.least_deg:.0f} crank degrees off its lift at its stop."


def lash_stop_strips(survey: Survey, line: Line) -> list[Strip]:
    """A strip for each stop in turn; raises ValueError in a sentence where no stops can be worked out."""
    stops = len(lash_stops(survey.build).stops)
    return [strip for stop in range(stops) for strip in _stop(survey, line, lash_view(survey, line, stop))]


def _stop(survey: Survey, line: Line, view: LashView) -> list[Strip]:
    """One stop: where the crank stands, what is set there, the drawings, and a field for each valve and round."""
    head = [Span(f"Stop {view.stop + 1} of {view.stops}:", 700), Span(sentence(view.where), 500)]
    if len(view.rows) <= _BESIDE_DIAL:
        head.append(Span(f"{view.heading}.", 700))
    fields = _fields(survey, line, view)
    strips = [
        *text_strips(head, SECOND.paper_pt, x=0),
        _drawn(view),
        *fields,
    ]
    then = [Span(view.then, 700)] if view.then else []
    last = [Strip(strip.halves, tuple(lowered(strip.items, 2.0))) for strip in text_strips(then, SECOND.paper_pt, x=0)]
    if sum(strip.halves for strip in [*strips, *last]) <= _MOST_HALVES:
        return [as_one([*strips, *last])]
    # So many valves at one stop may go on on the next page, the first of them with the drawings.
    more = len(fields) - 1
    return [as_one(strips[: len(strips) - more]), *strips[len(strips) - more : -1], as_one([strips[-1], *last])]


def _drawn(view: LashView) -> Strip:
    dial = _dial(view.theta_deg, view.back_deg, view.forward_deg)
    shown = view.rows if len(view.rows) <= _BESIDE_DIAL else tuple(row for row in view.rows if row.offered)
    valves = _map(tuple(_bare(row) for row in shown), view.theta_deg)
    # The last words of the dial stand in the middle of the room below it.
    low = max(label.y + label.size / 2 for label in dial.labels)
    items: list[Item] = drawn_items(dial, 0.0, _AIR, _DIAL_SCALE)
    items += drawn_items(valves, _MAP_X, _AIR, _MAP_SCALE)
    return Strip(halves_for(max(low * _DIAL_SCALE, valves.height * _MAP_SCALE) + 2 * _AIR), tuple(items))


def _bare(row: ValveRow) -> ValveRow:
    """A valve without what was read of it: that stands in its field, and the drawing is the same on every line."""
    return ValveRow(row.key, row.title, row.intake, row.arc, row.margin_deg, row.offered, other=row.other)


@lru_cache(maxsize=64)
def _dial(stop_deg: float, back_deg: float, forward_deg: float) -> Drawing:
    return dial_drawing(stop_deg % 720, back_deg, forward_deg, width=_DIAL_WIDE, paper=True)


@lru_cache(maxsize=64)
def _map(rows: tuple[ValveRow, ...], stop_deg: float) -> Drawing:
    wide = (WIDTH - _MAP_X) / _MAP_SCALE
    return valve_map(rows, stop_deg % 720, width=wide, row_height=_ROW, paper=True, fields=False)


def _fields(survey: Survey, line: Line, view: LashView) -> list[Strip]:
    """A column for each valve of this stop, in the order of the map, and a row for each round."""
    state, spec = survey.state(line), line.step.spec
    cells = {
        (cell.place, cell.round): cell
        for row in grid_view(survey, line).rows
        for cell in row.cells
        if cell is not None and not cell.worked
    }
    valves = [row for row in view.rows if row.offered]
    is_length = spec is not None and spec.kind is Measured.LENGTH
    written = [
        WriteRow(
            f"Round {turn}" if len(line.rounds) > 1 else "Lash" if is_length else "Read",
            "",
            tuple(slot_of(cells.get((valve.key, turn)), state) for valve in valves),
        )
        for turn in line.rounds
    ]
    bounds, unit = survey.bounds(line), unit_at(survey, line)
    read = [cell.text for cell in cells.values()]
    wide = cells_wanted(bounds.text if bounds else "", unit, read, whole_size=False)
    return grid_rows([valve.title for valve in valves], written, wide, f"in {unit_words(unit)}" if unit else "")
