"""The step sheets for measuring and lash: a block for each line, a field for each reading, and nothing cut off."""

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from app.assembly.lines import Line
from app.assembly.plan.steps import How
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.said.readings import READING, Reading
from app.assembly.standing.lash_stops import is_lash, lash_stops
from app.assembly.standing.survey import Survey
from app.paper.pdf.items import MM, Rule, Text
from app.paper.pdf.letters import width_pt
from app.paper.pdf.strips import HALF, WIDTH, Group
from app.paper.steps.bolts import step_lines
from app.paper.steps.readings import measure_groups, measure_lines
from tests.paper.builds import BEGUN, PLAN, Hand
from tests.paper.reading import all_text, greys, ink_box_mm, opened, page_texts, sizes_pt
from tests.paper.step_sheets import (
    HOSTILE,
    PLANS,
    apart,
    fresh,
    items,
    print_it,
    printed_by_verb,
    stays_inside_with,
    texts,
)

V8, FOUR, OHC = (next(path for path in PLANS if path.stem == stem) for stem in ("v8-ohv", "four-ohv", "four-ohc"))
FLAT = {"lifters": "flat-solid"}
MEASURED = """
[[stages]]
id = "measure"
title = "Measure"
[[stages.steps]]
id = "clearance"
do = "Measure main clearance"
places = "mains"
spec = {kind = "length", unit = "mm", limits = "0.04 to 0.07 mm", source = "practice"}
measure = {points = ["bore", "journal"], result = "clearance", how = "difference"}
"""


def wanted(survey: Survey) -> Iterator[Line]:
    """By their own words: points, lash, or more than twelve readings, unless the bolts' sheet has them."""
    for line in survey.build.lines:
        if line.reads and survey.open(line) and line.id not in step_lines(survey, line.stage):
            measure = line.step.measure
            if len(line.cells) > 12 or is_lash(line) or (measure is not None and measure.points):
                yield line


def groups(survey: Survey) -> list[Group]:
    return [group for stage in survey.build.stages for group in measure_groups(survey, stage.number)]


def block(survey: Survey, id_: str) -> Group:
    line = survey.build.by_id[id_]
    (found,) = (group for group in measure_groups(survey, line.stage) if group.number == line.number)
    return found


def fields(group: Group) -> list[float]:
    """The width of each field: of its two upright sides every second one is the left."""
    sides = [one.x1 for one in items(group) if isinstance(one, Rule) and one.x1 == one.x2 and one.y2 - one.y1 > 20]
    assert len(sides) % 2 == 0
    return [right - left for left, right in zip(sides[::2], sides[1::2], strict=True)]


def bare_fields(line: Line) -> int:
    """What a line asks for while nothing is read: its readings, its sums, and what it is read with."""
    measure, spec = line.step.measure, line.step.spec
    assert spec is not None
    count = len(line.cells)
    if spec.unit:
        count += 2 if spec.kind.value == "length" else 1
    if measure is None or measure.how is None:
        return count
    ends = [f" {point}" for point in measure.points]
    bases = {place.id.removesuffix(end) for place in line.places for end in ends if place.id.endswith(end)}
    return count + len(bases) * (6 if measure.how is How.SHAPE else len(measure.points) + 1)


def small(limits: str = "0.04 to 0.07 mm") -> Hand:
    """A small engine whose second stage measures the clearance of five mains."""
    plan = PLAN[: PLAN.index("[[gates]]")] + MEASURED.replace("0.04 to 0.07 mm", limits)
    return Hand(plan.replace("format = 1", "format = 1\ngates = []", 1))


# --- which lines


@pytest.mark.parametrize(
    ("path", "options"),
    [*((path, {}) for path in PLANS), (V8, FLAT), (FOUR, {"lifters": "roller-solid"})],
    ids=lambda one: one.stem if isinstance(one, Path) else "".join(one.values()),
)
def test_every_open_line_that_measures_has_exactly_one_block(path: Path, options: dict[str, str]) -> None:
    survey = fresh(path, options)
    lines = list(wanted(survey))
    assert [group.number for group in groups(survey)] == [line.number for line in lines]
    assert len(lines) > 5
    for line in lines:
        assert line.id in measure_lines(survey, line.stage)


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_there_is_a_field_for_each_reading_and_sum(path: Path) -> None:
    survey = fresh(path)
    for line, group in zip(wanted(survey), groups(survey), strict=True):
        assert len(fields(group)) == bare_fields(line), line.number


def test_a_line_that_is_closed_has_none() -> None:
    hand = small()
    assert measure_lines(hand.survey, 1) == {"clearance"}
    hand.does(a.MarkLine("1.01", State.NOT_NEEDED, "MK", hand.next_time(), why="new shells are measured at the shop"))
    assert measure_groups(hand.survey, 1) == ()
    assert measure_lines(hand.survey, 1) == frozenset()


# --- the grid and its sums


def test_a_grid_has_the_places_across_and_the_points_down() -> None:
    said = texts(block(fresh(V8), "measure-bores"))
    assert {f"Cylinder {n}" for n in range(1, 9)} <= set(said)
    for point in ("Top along", "Top across", "Middle along", "Middle across", "Bottom along", "Bottom across"):
        assert said.count(point) == 2, "eight cylinders do not fit side by side: two bands of four"
    journals = texts(block(fresh(V8), "measure-journals"))
    assert {"1", "5", "Main front upright", "Pin rear flat"} <= set(journals)
    assert "Main 1" not in journals, "pin 1 stands under the same head"


def test_a_sum_is_worked_by_hand_until_it_is_known() -> None:
    hand = small()
    before = block(hand.survey, "clearance")
    assert texts(before).count("= clearance") == 5
    assert {"Main 1:", "bore", "-", "journal", "mm, 0.04 to 0.07 mm"} <= set(texts(before))
    hand.does(a.TakeReading("1.01", "1 bore", "60.055 mm", "MK", hand.next_time()))
    half = block(hand.survey, "clearance")
    # The reading stands in place of its field, and again as the first number of the sum.
    assert len(fields(half)) == len(fields(before)) - 2
    assert texts(half).count("60.055 mm") == 2
    hand.does(a.TakeReading("1.01", "1 journal", "60.005 mm", "MK", hand.next_time()))
    whole = block(hand.survey, "clearance")
    assert texts(whole).count("= clearance") == 4
    # By hand: 60.055 - 60.005 = 0.05, between 0.04 and 0.07.
    assert any("60.055 - 60.005 = 0.05 mm, 0.04 to 0.07 mm wanted, In." in text for text in texts(whole))


def test_the_figure_stands_large_with_its_other_unit_and_source() -> None:
    group = block(small().survey, "clearance")
    figure = next(one for one in items(group) if isinstance(one, Text) and one.text == "0.04 to 0.07 mm")
    assert (figure.size, figure.weight) == (16, 700)
    whole = " ".join(texts(group))
    assert "General practice" in whole
    assert "in." in whole, "inches beside millimetres"
    missing = " ".join(texts(block(fresh(FOUR), "main-clearance")))
    assert "The figure is not entered yet" in missing


def test_what_was_read_before_a_disturbance_is_said_and_asked_anew() -> None:
    hand = small()
    hand.does(a.TakeReading("1.01", "1 bore", "60.055 mm", "MK", hand.next_time()))
    hand.does(a.MarkLine("1.01", State.LOOK_AGAIN, "MK", hand.next_time(), why="the caps came off"))
    group = block(hand.survey, "clearance")
    assert "was 60.055 mm" in texts(group)


def test_a_figure_of_more_letters_has_more_room() -> None:
    cells = {round(wide / (5.1 * MM)) for wide in fields(block(fresh(FOUR), "measure-bores")) if wide > 25 * MM}
    assert {6} <= cells, "a bore is read to the hundredth or finer: 82.015"


def test_there_are_two_lines_for_notes_under_every_block() -> None:
    for group in groups(fresh(V8, FLAT)):
        assert texts(group).count("Notes") == 1
        note = next(one for one in reversed(items(group)) if isinstance(one, Text) and one.text == "Notes")
        assert group.strips[-1].halves * HALF - note.y == pytest.approx(2 * HALF + 5)


def test_words_are_chosen_from_what_the_line_offers() -> None:
    survey = fresh(V8)
    said = texts(block(survey, "head-holes-open-into"))
    assert any(text.startswith("Write nothing, oil") for text in said)
    assert "Read with" not in said


# --- lash


@pytest.mark.parametrize(
    ("path", "id_", "valves"), [(FOUR, "lash-cold", 8), (OHC, "lash-cold", 16), (V8, "set-lash", 16)]
)
def test_each_valve_has_its_field_at_its_own_stop(path: Path, id_: str, valves: int) -> None:
    survey = fresh(path, FLAT if path is not OHC else {})
    group, found = block(survey, id_), lash_stops(survey.build)
    assert len(fields(group)) == valves + 2
    said = texts(group)
    for number, stop in enumerate(found.stops, 1):
        assert f"Stop {number} of {len(found.stops)}:" in said
        assert f"crank at {stop.theta_deg % 720:g}°, {'second' if stop.theta_deg >= 360 else 'first'} turn" in said
    assert sum(len(stop.valves) for stop in found.stops) == valves
    assert said.count("exhaust lifted") == len(found.stops)
    assert (said.count("this stop"), said.count("Set at")) == (valves, len(found.stops)), (
        "nothing is written on the map"
    )


def test_lash_that_was_read_stands_in_place_of_its_field() -> None:
    survey = fresh(FOUR, FLAT)
    before = block(survey, "lash-cold")
    place = survey.build.by_id["lash-cold"].places[0].id
    reading = Reading("0.32 mm", 0.32, "mm", "MK", BEGUN)
    deed = Deed(
        Verb.READ,
        "MK",
        BEGUN,
        (Entry(EventName.READ, Subject(READING, "lash-cold", place, 1), None, reading),),
    )
    after = block(Survey(survey.build.after(deed), BEGUN), "lash-cold")
    assert "0.32 mm" in texts(after)
    assert len(fields(after)) == len(fields(before)) - 1


def test_a_general_cam_is_said_to_be_one_and_the_next_stop_named() -> None:
    whole = " ".join(texts(block(fresh(FOUR, FLAT), "lash-cold")))
    assert "general cam was assumed" in whole
    assert "C writes" not in whole, "a key is of no use on paper"
    assert "Then turn the crank one full turn, the way it runs, to stop 2." in whole
    assert "for a cold engine" in whole


def test_rounds_of_lash_have_a_field_each() -> None:
    group = block(fresh(OHC), "lash-reread")
    assert len(fields(group)) == 32 + 2
    assert texts(group).count("Round 2") == texts(group).count("Round 1") > 1


def test_without_stops_the_plain_grid_is_printed_with_the_reason() -> None:
    survey = fresh(FOUR, FLAT)
    vars(survey.build)["arrangement"] = None
    group = block(survey, "lash-cold")
    assert len(fields(group)) == 8 + 2
    whole = " ".join(texts(group))
    assert "does not say how its engine is laid out" in whole
    assert "base circle" in whole
    assert "crank now" not in whole


# --- in the traveller


def test_the_row_says_so_and_asks_for_nothing_twice(tmp_path: Path) -> None:
    survey = fresh(FOUR)
    with_steps, without = (all_text(print_it(tmp_path, survey, stages=[3], steps=steps)) for steps in (True, False))
    assert with_steps.count("on its step sheet") == with_steps.count("Step sheet.") == 2
    assert "1 top along" not in with_steps
    assert "step sheet" not in without.lower()
    assert "1 top along" in without


def test_the_sheets_are_counted_in_the_order_of_the_lines(tmp_path: Path) -> None:
    pages = page_texts(print_it(tmp_path, fresh(FOUR), stages=[6]))
    for number, text in enumerate(pages, 1):
        assert f"Sheet {number} of {len(pages)}, this stage" in text
    whole = " ".join(page for page in pages if "Step sheet:" in page)
    at = [whole.index(f"{number} Measure") for number in ("6.01", "6.03", "6.05")]
    assert at == sorted(at)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("path", "stages"), [(V8, [3, 15]), (OHC, [6, 15])], ids=["v8-ohv", "four-ohc"])
def test_nothing_leaves_the_live_area_or_is_too_small_or_coloured(
    tmp_path: Path, path: Path, stages: list[int], paper: str
) -> None:
    out = print_it(tmp_path, fresh(path, FLAT if path is V8 else {}), stages=stages, paper=paper)
    for left, top, right, bottom in ink_box_mm(out):
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4
    assert min(sizes_pt(out)) >= 9
    for page in range(len(page_texts(out))):
        assert greys(out, page) == {(0, 0, 0), (255, 255, 255)}


def test_hatched_and_solid_lifts_stay_apart_in_one_bit(tmp_path: Path) -> None:
    out = print_it(tmp_path, fresh(FOUR, FLAT), stages=[22])
    number = next(n for n, text in enumerate(page_texts(out)) if "intake lifted" in text)
    places: dict[str, tuple[float, float]] = {}

    def visit(text: str, matrix: Any, text_matrix: Any, font: Any, size: float) -> None:
        if text.strip() in ("intake lifted", "exhaust lifted"):
            places[text.strip()] = (text_matrix[4], text_matrix[5])

    opened(out).pages[number].extract_text(visitor_text=visit)
    document = pypdfium2.PdfDocument(out)
    dots = 150 / 72
    page = document[number].render(scale=dots, no_smoothpath=True, grayscale=True).to_pil()
    document.close()

    def black(word: str) -> tuple[float, int]:
        """The black share of the bar before a word of the legend, and how often it turns black along its middle."""
        x, y = places[word]
        middle = page.height - (y + 3) * dots
        bar = page.crop((round((x - 24) * dots), round(middle - 5), round((x - 7) * dots), round(middle + 5)))
        data = [bar.getpixel((n, 5)) < 128 for n in range(bar.width)]
        share = sum(bar.histogram()[:128]) / (bar.width * bar.height)
        return share, sum(b and not a for a, b in pairwise(data))

    assert black("exhaust lifted")[0] > 0.98
    share, strokes = black("intake lifted")
    assert 0.15 < share < 0.65
    assert strokes >= 3


def test_both_papers_break_at_the_same_places(tmp_path: Path) -> None:
    survey = fresh(V8, FLAT)
    a4 = page_texts(print_it(tmp_path, survey, stages=[3, 6, 15], paper="A4"))
    assert page_texts(print_it(tmp_path, survey, stages=[3, 6, 15], paper="Letter")) == a4


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_every_text_stays_within_the_width_and_its_strip(path: Path) -> None:
    for group in groups(fresh(path)):
        for strip in group.strips:
            for one in (each for item in strip.items for each in apart(item)):
                if isinstance(one, Text):
                    assert one.size >= 9 - 1e-9
                    assert one.x >= 0
                    assert one.x + width_pt(one.text, one.weight, one.size) <= WIDTH + 0.1, one.text
                    assert 6 <= one.y <= strip.halves * HALF - 1, one.text
                elif isinstance(one, Rule):
                    assert max(one.x1, one.x2) <= WIDTH + 0.1
                    assert max(one.y1, one.y2) <= strip.halves * HALF + 0.1


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_breaks_a_sheet(tmp_path: Path, text: str) -> None:
    stays_inside_with(text, small(), tmp_path)


def test_equal_input_gives_equal_bytes(tmp_path: Path) -> None:
    survey = fresh(FOUR)
    first = print_it(tmp_path, survey, stages=[15]).read_bytes()
    assert print_it(tmp_path, survey, stages=[15]).read_bytes() == first


def test_the_terminal_prints_them_unless_told_not_to(tmp_path: Path) -> None:
    for asked, is_there in (([], True), (["--no-steps"], False)):
        out = printed_by_verb(tmp_path, "Shed tourer", "6", *asked)
        assert ("one field for each reading" in all_text(out)) is is_there
