"""The step sheets of the traveller: a box for each bolt and pass, a field for each value, and nothing cut off."""

import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.lines import Line
from app.assembly.make import begin_build, make_blank
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import TICK, State, Tick
from app.assembly.standing.joints import described
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import joint_lines, joint_passes
from app.paper.pdf.items import MM, Drawing, Rule, Text
from app.paper.pdf.letters import width_pt
from app.paper.pdf.strips import HALF, WIDTH, Group
from app.paper.steps.bolts import step_groups, step_lines
from app.paper.traveller.fields import marked_box
from app.sheet.draw.marks import Frame
from app.trade.shipped_tables import shipped_tables
from tests.cases.story import shipped
from tests.paper.builds import BEGUN, PLAN, Hand
from tests.paper.reading import all_text, greys, ink_box_mm, page_texts, sizes_pt
from tests.paper.step_sheets import HOSTILE, PLANS, fresh, items, print_it, printed_by_verb, stays_inside_with, texts

TIGHT = """
[[groups]]
id = "bolts"
title = "Bolts"
count = {count}
each = "Bolt"
[[stages]]
id = "joint"
title = "Joint"
[[stages.steps]]
id = "tight"
do = "Tighten the bolts"
places = "bolts"
spec = {{kind = "torque", unit = "N·m", limits = "82 N·m", source = "practice", state = "oiled"{reads}}}
tightening = {{{how}}}
"""


def open_joints(survey: Survey) -> Iterator[tuple[Line, ...]]:
    seen: set[str] = set()
    for line in survey.build.lines:
        if line.tightening is not None and line.id not in seen:
            joint = joint_lines(survey.build, line)
            seen |= {one.id for one in joint}
            if len(survey.places(line)) >= 3 and any(survey.open(one) for one in joint):
                yield joint


def groups(survey: Survey) -> list[Group]:
    return [group for stage in survey.build.stages for group in step_groups(survey, stage.number)]


def boxes(group: Group, *states: State) -> list[Drawing]:
    wanted = [marked_box(Frame.DO, state) for state in states or (State.TO_DO, State.DONE, State.NOT_NEEDED)]
    return [one for one in items(group) if isinstance(one, Drawing) and any(one.shapes is shapes for shapes in wanted)]


def fields(group: Group) -> list[tuple[float, float]]:
    """The left upper corner of each field: of its two upright sides every second one is the left."""
    sides = [
        (one.x1, one.y1) for one in items(group) if isinstance(one, Rule) and one.x1 == one.x2 and one.y2 - one.y1 > 20
    ]
    assert len(sides) % 2 == 0
    return sides[::2]


def one_joint(count: int = 10, how: str = "", *, reads: bool = False) -> Hand:
    """A small engine of one joint with so many bolts."""
    record = ', record = "value"' if reads else ""
    plan = PLAN[: PLAN.index("[[gates]]")] + TIGHT.format(count=count, how=how, reads=record)
    return Hand(plan.replace("format = 1", "format = 1\ngates = []", 1))


def block(hand: Hand) -> Group:
    (group,) = step_groups(hand.survey, 1)
    return group


# --- which joints


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_every_open_joint_of_a_shipped_plan_has_its_block(path: Path) -> None:
    survey = fresh(path)
    wanted = list(open_joints(survey))
    found = groups(survey)
    assert len(wanted) == len(found) > 4
    for joint, group in zip(wanted, found, strict=True):
        first, last = joint[0].number, joint[-1].number
        assert group.number == (first if first == last else f"{first} to {last}")
        assert all(line.number in texts(group) for line in joint), "a row of figures for each line"


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_there_is_a_box_for_each_bolt_and_pass_and_a_field_for_each_value(path: Path) -> None:
    survey = fresh(path)
    for joint, group in zip(open_joints(survey), groups(survey), strict=True):
        bolts, passes = len(survey.places(joint[0])), list(joint_passes(survey, joint[0]))
        assert len(boxes(group)) == len(boxes(group, State.TO_DO)) == bolts * len(passes)
        values = sum(len(line.cells) for line in joint if line.reads)
        # A figure that is not entered, and a setting of a wrench nobody named, are written in too.
        missing = sum(not one.text for _, one in passes) + sum(one.torque is not None for _, one in passes)
        assert len(fields(group)) == values + missing


def test_a_joint_of_two_bolts_or_with_every_line_closed_has_none() -> None:
    assert step_groups(one_joint(2).survey, 1) == ()
    hand = one_joint(3)
    assert len(step_groups(hand.survey, 1)) == 1
    assert step_lines(hand.survey, 1) == {"tight"}
    hand.does(a.MarkLine("1.01", State.NOT_NEEDED, "MK", hand.next_time(), why="a new joint is on the way"))
    assert step_groups(hand.survey, 1) == ()
    assert step_lines(hand.survey, 1) == frozenset()


# --- the boxes


@pytest.mark.parametrize(
    ("count", "how"),
    [
        (3, 'pattern = "circle"'),
        (10, 'pattern = "circle", passes = ["30 N·m", "60 N·m", "100 %"]'),
        (16, 'pattern = "circle", passes = ["50 %", "100 %"]'),
        (20, 'pattern = "circle"'),
        (18, 'pattern = "rows", rows = [9, 9]'),
        (20, 'pattern = "rows", rows = [10, 10], bores = 4, passes = ["30 N·m", "60 N·m", "100 %"]'),
        (20, 'pattern = "rows", rows = [20]'),
        (14, 'pattern = "rows", rows = [5, 4, 5], passes = ["50 %", "100 %"]'),
        (60, ""),
        (10, f"passes = {json.dumps([f'{5 * n} %' for n in range(1, 21)])}"),
    ],
)
def test_no_two_boxes_or_bolts_lie_over_each_other_and_none_leaves_the_sheet(count: int, how: str) -> None:
    group = block(one_joint(count, how))
    for strip in group.strips:
        squares = [
            one for one in strip.items if isinstance(one, Drawing) and one.shapes is marked_box(Frame.DO, State.TO_DO)
        ]
        for n, one in enumerate(squares):
            side = one.scale * 16  # the square inside the box's 24 x 24
            assert side >= 5.0 * MM - 0.01
            assert one.x >= 0
            assert one.x + one.scale * 20 <= WIDTH
            assert 0 <= one.y <= strip.halves * HALF - one.scale * 24 + 1
            for other in squares[n + 1 :]:
                assert max(abs(one.x - other.x), abs(one.y - other.y)) >= side + 1
    assert len(boxes(group)) % count == 0


def described_head(plan: Path) -> Build:
    """The head of a shipped plan: figures entered, joint described with wrench and adapter, ready to be tightened."""
    build = begin_build(make_blank(shipped(plan.stem), {}), key=1, name="Grey four", made=BEGUN)
    now = BEGUN + timedelta(days=1)

    def act(action: a.Action) -> None:
        nonlocal build
        build = build.after(decide(build, action))

    for line, text in (
        ("torque-head-first", "30 N·m"),
        ("torque-head-second", "60 N·m"),
        ("torque-head-last", "82 N·m"),
    ):
        act(a.EnterFigure(line, text, "Stud maker's sheet", "MK", now))
    act(a.KeepTool("W1", "click wrench", "MK", now, "20 to 120 N·m", "0.5 N·m", now, sort="click", lever="420 mm"))
    said = {"thread": "M10x1.25", "state": "oiled", "wrench": "W1", "adapter": "50 mm"}
    act(a.DescribeJoint("torque-head-first", described(said, shipped_tables(), "MK", now, None), "MK", now))
    return build


FOUR = next(path for path in PLANS if path.stem == "four-ohv")


def head_block(build: Build) -> Group:
    survey = Survey(build, BEGUN + timedelta(days=2))
    return next(group for group in groups(survey) if group.number == "14.04 to 14.06")


def test_done_passes_are_ticked_and_all_others_left_empty_for_the_pen() -> None:
    build = described_head(FOUR)
    first, second = build.by_id["torque-head-first"], build.by_id["torque-head-second"]
    for line, count in ((first, 10), (second, 4)):
        for place in line.places[:count]:
            build = ticked(build, line, place.id)
    group = head_block(build)
    assert len(boxes(group, State.DONE)) == 14
    assert len(boxes(group, State.TO_DO)) == 16


def ticked(build: Build, line: Line, place: str) -> Build:
    """The build as it is once its box was ticked on the sheet, whatever else the line waits for."""
    subject = Subject(TICK, line.id, place)
    tick = Tick(State.DONE, "MK", BEGUN + timedelta(days=1))
    return build.after(Deed(Verb.TICK, "MK", tick.at, (Entry(EventName.TICK, subject, None, tick),)))


# --- the words


def test_the_figures_stand_in_both_systems_with_the_setting_and_its_sum() -> None:
    group = head_block(described_head(FOUR))
    said = texts(group)
    # By hand: 60 × 420 ÷ (420 + 50) = 53.617; 60 ÷ 1.355818 = 44.25; 82 × 420 ÷ 470 = 73.277.
    for words in (
        "14.04 to 14.06 Torque head nuts",
        "30 N·m",
        "60 N·m",
        "82 N·m",
        "53.5 N·m",
        "73.5 N·m",
        "44.3 lbf·ft",
    ):
        assert words in said
    assert {"60 × 420 ÷ (420 + 50) = 53.62 N·m", "82 × 420 ÷ (420 + 50) = 73.28 N·m", "420 mm", "50 mm"} <= set(said)
    assert {"pass 1 of 3", "pass 2 of 3", "pass 3 of 3", "front of engine", "on click wrench"} <= set(said)
    whole = " ".join(said)
    assert "CAUTION Figures worked out here are estimates" in whole
    figure = next(one for one in items(group) if isinstance(one, Text) and one.text == "60 N·m" and one.size > 12)
    assert (figure.size, figure.weight) == (16, 700)


def test_a_figure_too_long_for_its_column_is_never_cut() -> None:
    hand = one_joint()
    hand.does(a.EnterFigure("1.01", "1000.0001 to 1000.00022 N·m", "Sheet", "MK", hand.next_time()))
    whole = " ".join(texts(block(hand)))
    assert "1000.0001 to 1000.00022 N·m" in whole
    assert "…" not in whole


def test_bolts_whose_lie_nobody_said_are_not_passed_off_as_drawn_so() -> None:
    unsaid, rows = texts(block(one_joint(10))), texts(block(one_joint(10, 'pattern = "rows", rows = [5, 5]')))
    assert "Drawn in the order of the list, not as they lie." in unsaid
    assert "front of engine" not in unsaid
    assert "front of engine" in rows
    cut = texts(block(one_joint(20, 'pattern = "rows", rows = [20]')))
    assert "front of engine; a row that does not fit goes on below" in cut
    assert "Bolt 1 is at the top, the others follow clockwise." in texts(block(one_joint(6, 'pattern = "circle"')))


def test_angle_and_stretch_are_written_where_the_joint_is_judged_by_them() -> None:
    plain, angle = block(one_joint(6)), block(one_joint(6, 'kind = "torque, then angle"'))
    both = block(one_joint(6, 'kind = "torque and stretch", stretch = "0.10 to 0.12 mm"', reads=True))
    assert "1.01 angle" not in texts(plain)
    assert "1.01 angle" in texts(angle)
    assert {"1.01 torque", "1.01 stretch", "mm"} <= set(texts(both))
    assert (len(fields(angle)), len(fields(both))) == (len(fields(plain)) + 6, len(fields(plain)) + 12)


def test_a_value_that_was_read_stands_in_place_of_its_field() -> None:
    hand = one_joint(6, reads=True)
    before = len(fields(block(hand)))
    hand.does(a.TakeReading("1.01", "3", "81.5 N·m", "MK", hand.next_time()))
    assert len(fields(block(hand))) == before - 1
    assert "81.5 N·m" in texts(block(hand))


def test_there_are_two_lines_for_notes() -> None:
    group = block(one_joint())
    assert texts(group).count("Notes") == 1
    high = sum(strip.halves for strip in group.strips) * HALF
    note = next(one for one in reversed(items(group)) if isinstance(one, Text) and one.text == "Notes")
    y = (high - group.strips[-1].halves * HALF) + note.y
    assert high - y == pytest.approx(2 * HALF + 5)


# --- in the traveller


def test_the_sheets_are_counted_and_stand_behind_the_rows_of_their_stage(tmp_path: Path) -> None:
    survey = fresh(FOUR)
    with_steps = page_texts(print_it(tmp_path, survey, stages=[14, 15]))
    without = page_texts(print_it(tmp_path, survey, stages=[14, 15], steps=False))
    assert len(with_steps) > len(without)
    for number, text in enumerate(with_steps, 1):
        assert f"Sheet {number} of {len(with_steps)}, this stage" in text
    stepped = [number for number, text in enumerate(with_steps) if "Step sheet: one box for each bolt" in text]
    stages = [int(text.split("Stage ")[1].split(",")[0]) for text in with_steps]
    assert stages == sorted(stages)
    assert [stages[number] for number in stepped] == [14, 14, 15]
    assert [number for number, stage in enumerate(stages) if stage == 14][-2:] == stepped[:2]
    assert with_steps[0].count("Step sheet.") + with_steps[1].count("Step sheet.") == 3
    assert "Step sheet" not in " ".join(without)
    for text in with_steps:
        assert [
            words
            for words in ("Print 2", "Pen", "read and write", "This bar is 100 mm", "+1 +2 +3")
            if words not in text
        ] == []


def test_only_open_lines_come_with_the_step_sheets_of_open_joints(tmp_path: Path) -> None:
    hand = one_joint(6)
    assert "Step sheet:" in all_text(print_it(tmp_path, hand.survey, only_open=True))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_leaves_the_live_area_or_is_too_small_or_coloured(tmp_path: Path, paper: str) -> None:
    out = print_it(
        tmp_path, Survey(described_head(FOUR), BEGUN + timedelta(days=2)), stages=[12, 14, 17, 22], paper=paper
    )
    for left, top, right, bottom in ink_box_mm(out):
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4
    assert min(sizes_pt(out)) >= 9
    assert {colour for page in range(len(page_texts(out))) for colour in greys(out, page)} == {
        (0, 0, 0),
        (255, 255, 255),
    }


def test_both_papers_break_at_the_same_bolts(tmp_path: Path) -> None:
    survey = fresh(next(path for path in PLANS if path.stem == "v8-ohv"))
    a4 = page_texts(print_it(tmp_path, survey, stages=[12, 14], paper="A4"))
    assert page_texts(print_it(tmp_path, survey, stages=[12, 14], paper="Letter")) == a4


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_every_text_stays_within_the_width_and_its_strip(path: Path) -> None:
    for group in groups(fresh(path)):
        for strip in group.strips:
            for one in strip.items:
                if isinstance(one, Text):
                    assert one.x >= 0
                    assert one.x + width_pt(one.text, one.weight, one.size) <= WIDTH + 0.1, one.text
                    assert 6 <= one.y <= strip.halves * HALF - 1, one.text


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_breaks_a_step_sheet(tmp_path: Path, text: str) -> None:
    stays_inside_with(text, one_joint(12, reads=True), tmp_path)


def test_equal_input_gives_equal_bytes(tmp_path: Path) -> None:
    survey = fresh(FOUR)
    first = print_it(tmp_path, survey, stages=[14]).read_bytes()
    assert print_it(tmp_path, survey, stages=[14]).read_bytes() == first


def test_the_terminal_prints_them_unless_told_not_to(tmp_path: Path) -> None:
    for asked, wanted in (([], True), (["--no-steps"], False)):
        out = printed_by_verb(tmp_path, "3", "12", *asked)
        assert ("Step sheet:" in all_text(out)) is wanted
