"""Every line that asks for a value can be answered: in the window, by the verb and on paper, and these agree."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

import pytest

from app.assembly.deeds.decide import decide
from app.assembly.lines import Line
from app.assembly.make import begin_build, make_blank
from app.assembly.said.actions import TakeReading
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.said.readings import Reading
from app.assembly.standing.entry_places import EntryPlace, Form, entry_places
from app.assembly.standing.lash_stops import is_lash
from app.assembly.standing.survey import Survey
from app.paper.pdf.items import Lines, Text
from app.paper.pdf.strips import Strip
from app.paper.steps.bolts import step_groups, step_lines
from app.paper.steps.lash import lash_stop_strips
from app.paper.steps.readings import measure_lines, write_in_strips
from app.paper.traveller.fields import FIELD_HIGH
from app.paper.traveller.lines import line_group
from app.sheet.grid import grid_view
from app.sheet.lash import lash_view
from app.sheet.rows import LineRow, stage_sheet
from app.sheet.tighten import tighten_view
from app.trade.notation import read_quantity
from app.trade.quantity import Kind
from tests.cases.story import SHIPPED, shipped
from tests.plans import EVENING
from tests.refused import refused

Key = tuple[str, int]
# On a line that is laid out for the pen these fields are not for a reading: the figure to be entered, and its source.
FIGURE_FIELDS = 2


def _option_sets() -> Iterator[tuple[str, dict[str, str]]]:
    """Each shipped plan by its defaults, and with each single choice of each option."""
    for name in SHIPPED:
        yield name, {}
        for option in shipped(name).options:
            yield from ((name, {option.id: one.id}) for one in option.choices if one.id != option.default)


SETS = list(_option_sets())


def _begun(name: str, options: dict[str, str]) -> Survey:
    """A build of a plan with every line that reads in hand, so that it takes a value whatever it waits for."""
    build = begin_build(make_blank(shipped(name), options), key=1, name="Grey four", made=EVENING)
    mark = Mark(State.STARTED, "AB", EVENING)
    entries = [Entry(EventName.BEGUN, Subject(MARK, line.id), None, mark) for line in build.lines if line.reads]
    return Survey(build.after(Deed(Verb.MARK, "AB", EVENING, tuple(entries))), EVENING)


@pytest.fixture(params=SETS, ids=[f"{name} {' '.join(options.values()) or 'as it is'}" for name, options in SETS])
def survey(request: pytest.FixtureRequest) -> Survey:
    """Each plan under each option set."""
    return _begun(*request.param)


def _asked(survey: Survey) -> list[tuple[Line, tuple[EntryPlace, ...]]]:
    return [(line, entry_places(survey, line)) for line in survey.build.lines if line.reads]


def test_every_place_that_is_asked_for_has_a_form_and_what_it_needs(survey: Survey) -> None:
    for line, asked in _asked(survey):
        assert [one.key for one in asked if one.round == 1] == [(place.id, 1) for place in survey.places(line)]
        assert all(len(one.choices) > 1 for one in asked if one.form is Form.CHOICE), line.number
        assert not any(one.choices or one.unit for one in asked if one.form is Form.TEXT), line.number


def test_the_window_has_a_way_to_write_at_each_of_them(survey: Survey) -> None:
    """In a cell of the sheet, else on the page that Enter and P lead to: lash by stops, bolts, or the grid."""
    rows = {
        row.id: row
        for stage in survey.build.stages
        for row in stage_sheet(survey, (), (), stage, grids=True).rows
        if isinstance(row, LineRow)
    }
    for line, asked in _asked(survey):
        row = rows[line.id]
        on_row = {(one.place, one.round): (one.form, one.unit) for one in row.write_ins}
        found = on_row if row.write_ins else _on_its_page(survey, line, asked)
        assert row.write_ins or row.in_grid, f"{line.number} has no way in"
        assert found == {one.key: (one.form, one.unit) for one in asked}, line.number


def _on_its_page(survey: Survey, line: Line, asked: Iterable[EntryPlace]) -> dict[Key, tuple[Form, str]]:
    if is_lash(line):
        valves = {row.key for row in lash_view(survey, line, 0).rows}
        return {one.key: (one.form, one.unit) for one in asked if one.place.id in valves}
    if line.tightening is not None:
        bolts = {bolt.key for bolt in tighten_view(survey, line).bolts}
        return {one.key: (one.form, one.unit) for one in asked if one.place.id in bolts}
    cells = [cell for row in grid_view(survey, line).rows for cell in row.cells if cell is not None]
    return {one.entry.key: (one.entry.form, one.unit) for one in cells if one.entry is not None}


def test_the_verb_takes_the_same_at_each_of_them(survey: Survey) -> None:
    for line, asked in _asked(survey):
        for one in {asked[0].key: asked[0], asked[-1].key: asked[-1]}.values() if asked else ():
            for text in one.choices or ("12",):
                taken = _read(survey, line, one, text)
                assert taken.text == text
                if one.form is Form.VALUE and line.step.spec is not None:
                    wanted = read_quantity(text, Kind(line.step.spec.kind.value), unit=one.unit or None)
                    assert (taken.magnitude, taken.unit) == (wanted.magnitude, wanted.unit), line.number
            if one.form is Form.CHOICE:
                with refused("is none of"):
                    _read(survey, line, one, "something else")
        with refused("no round"):
            decide(survey.build, TakeReading(line.id, asked[0].place.id, "12", "AB", EVENING, asked[-1].round + 2))


def _read(survey: Survey, line: Line, one: EntryPlace, text: str) -> Reading:
    at = EVENING + timedelta(minutes=1)
    deed = decide(survey.build, TakeReading(line.id, one.place.id, text, "AB", at, one.round))
    (reading,) = (entry.new for entry in deed.entries if isinstance(entry.new, Reading))
    return reading


def test_paper_has_a_field_for_each_of_them_with_its_unit_or_its_words(survey: Survey) -> None:
    for stage in survey.build.stages:
        bolted, measured = step_lines(survey, stage.number), measure_lines(survey, stage.number)
        tables = [strip for group in step_groups(survey, stage.number) for strip in group.strips]
        for row in stage_sheet(survey, (), (), stage).rows:
            line = survey.build.by_id[row.id] if isinstance(row, LineRow) else None
            if line is None or not line.reads or not isinstance(row, LineRow):
                continue
            asked = entry_places(survey, line)
            stepped = line.id in bolted or line.id in measured
            strips = list(line_group(survey, row, step_sheet=stepped).strips)
            if line.id in measured:
                own = _measured(survey, line)
                assert _fields(own) == len(asked), f"{line.number} on its step sheet"
                assert _says(own, asked) or _says(strips, asked), f"{line.number} on its step sheet"
            elif line.id in bolted and len(asked) > 12:
                assert (
                    f"{line.number} {line.step.spec.kind.value}" in " ".join(_texts(tables)) if line.step.spec else ""
                )
            else:
                figure = FIGURE_FIELDS if survey.figure_missing(line) else 0
                assert _fields(strips) == len(asked) + figure, line.number
                assert _says(strips, asked), line.number


def _measured(survey: Survey, line: Line) -> list[Strip]:
    if is_lash(line):
        try:
            return lash_stop_strips(survey, line)
        except ValueError:
            pass
    return write_in_strips(survey, line)


def _fields(strips: Iterable[Strip]) -> int:
    """How many fields are open for the pen: a line down at the left, one along below, one down at the right."""
    found = [item.lines for strip in strips for item in strip.items if isinstance(item, Lines)]
    return sum(len(lines) >= 3 and lines[0][3] == lines[2][3] == FIELD_HIGH for lines in found)


def _texts(strips: Iterable[Strip]) -> list[str]:
    return [
        item.text.replace("\N{NO-BREAK SPACE}", " ") for one in strips for item in one.items if isinstance(item, Text)
    ]


def _says(strips: Iterable[Strip], asked: Iterable[EntryPlace]) -> bool:
    """Whether the unit of each place, or every word one may write there, stands in these strips."""
    said = " ".join(_texts(strips)).replace("degrees", "deg")
    return all(word in said for one in asked for word in (*one.choices, one.unit))
