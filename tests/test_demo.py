"""The sample workshop: it opens, is sound, says what it is there to show, and is what its script makes today."""

import importlib.util
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

import pytest

from app.assembly.build import Build
from app.assembly.rules import loose_ends
from app.assembly.said.bolts import BOLT
from app.assembly.said.cam import CAM
from app.assembly.said.events import EVENT
from app.assembly.said.figures import CANDIDATE
from app.assembly.said.findings import FINDING, Disposition
from app.assembly.said.joints import JOINT
from app.assembly.said.running import RUN
from app.assembly.said.second_look import SEEN
from app.assembly.said.temporary import ITEM
from app.assembly.said.tools import TOOL
from app.assembly.standing.gates import gate_standings
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.remembered import last_left
from app.assembly.standing.survey import Survey
from app.paper.record.record import write_record
from app.paper.traveller.traveller import write_traveller
from app.store.workshop import Workshop
from app.words.journal import told

ROOT = Path(__file__).resolve().parents[1]
SHIPPED = ROOT / "demo_data" / "workshop"
LARGEST_KB = 2000


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_demo", ROOT / "demo_data" / "make_demo.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


DEMO = _script()


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    """A copy, as the first start makes one: the shipped folder is only ever read."""
    folder = tmp_path / "sample workshop"
    folder.mkdir()
    (folder / "workshop.db").write_bytes((SHIPPED / "workshop.db").read_bytes())
    return folder


def _load(folder: Path, name: str) -> tuple[Workshop, Build]:
    workshop = Workshop.open_at(folder, now=datetime.now(UTC))
    return workshop, workshop.load(workshop.find(name))


def _look(folder: Path, name: str) -> tuple[Survey, tuple[LooseEnd, ...]]:
    workshop, build = _load(folder, name)
    with workshop:
        survey = Survey(build, datetime.now(UTC))
        return survey, loose_ends(survey)


def test_it_is_one_lone_file_and_a_folder_for_photos() -> None:
    assert {path.name for path in SHIPPED.iterdir()} == {"workshop.db", "photos"}
    assert (SHIPPED / "photos").is_dir()
    assert (SHIPPED / "workshop.db").stat().st_size < LARGEST_KB * 1000


def test_it_opens_sound_with_three_builds(sample: Path) -> None:
    with Workshop.open_at(sample, now=datetime.now(UTC)) as workshop:
        findings = workshop.health()
        builds = [build.name for build in workshop.builds()]
    assert [one.text for one in findings if not one.ok] == []
    assert set(builds) == {DEMO.FINISHED, DEMO.MIDDLE, DEMO.PLANNED}
    assert builds[0] == DEMO.MIDDLE, "the first start shows the build worked on last"


def test_it_is_what_its_script_makes(tmp_path: Path, sample: Path) -> None:
    fresh = tmp_path / "fresh"
    DEMO.make(fresh)
    assert DEMO.differences(sample, fresh) == [], "run demo_data/make_demo.py and commit what it makes"


def test_a_changed_sample_is_told_from_a_fresh_one(tmp_path: Path, sample: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "workshop.db").write_bytes((SHIPPED / "workshop.db").read_bytes())
    workshop, build = _load(sample, DEMO.MIDDLE)
    with workshop:
        workshop.undo(build, by="AB", now=datetime.now(UTC))
    found = DEMO.differences(sample, other)
    assert found == [f"“{DEMO.MIDDLE}” differs in its {part}." for part in ("facts", "journal")]


def test_a_build_just_planned_has_figures_with_sources_and_hardly_a_loose_end(sample: Path) -> None:
    survey, ends = _look(sample, DEMO.PLANNED)
    figures = survey.build.facts.figures.values()
    assert figures
    assert all("invented" in figure.source for figure in figures)
    assert not survey.build.facts.lines
    assert {end.rule for end in ends} <= {"spec-empty"}
    assert len(ends) <= 3


def test_the_build_in_the_middle_shows_loose_ends_of_many_kinds(sample: Path) -> None:
    survey, ends = _look(sample, DEMO.MIDDLE)
    rules = {end.rule for end in ends}
    shown = {"stopped", "reading-out", "temporary-in", "passed-over", "look-again", "put-off", "concession-open"}
    shown |= {"opened-not-closed", "figures-disagree", "second-look-missing"}
    assert rules >= shown
    assert len(rules) >= 6
    states = {mark.state.value for mark in survey.build.facts.lines.values()}
    assert states >= {"done", "started", "later", "stopped", "look-again"}
    assert len(survey.build.facts.gates) == 1


def test_the_build_in_the_middle_shows_what_no_plan_foresees(sample: Path) -> None:
    survey, ends = _look(sample, DEMO.MIDDLE)
    facts = survey.build.facts
    (finding,) = facts.of(FINDING).values()
    assert finding.decision is Disposition.USE_AS_IS
    assert all((finding.why, finding.watch, finding.reopens, finding.decided_by))
    assert "decision-reopened" not in {end.rule for end in ends}
    assert [line.number for line in survey.build.lines if line.extra] == ["13.02a", "15.02a"]
    assert {thing.key for thing in survey.inside} >= {"t2"}
    assert facts.of(ITEM)["t1", ""].out_at is not None
    tools = facts.of(TOOL)
    assert all(tool.checked is not None for tool in tools.values())
    assert [tool.doubt for tool in tools.values()] == ["± 0.004 mm", "± 0.002 mm", ""]
    read_with = {key for key, readings in facts.readings.items() if any(one.tool for one in readings.values())}
    clearances = {"measure-bores", "measure-journals", "main-clearance", "rod-clearance"}
    assert read_with == clearances | {"torque-mains-last", "torque-head-last"}
    assert facts.of(CAM)
    assert facts.of(JOINT)
    turned = {key for key, _ in facts.of(BOLT)}
    assert {key.partition("/")[0] for key in turned} == {"torque-head-first", "torque-head-second"}
    assert len(facts.of(CANDIDATE)) == 4
    assert survey.build.options["retorque"] != survey.build.made_with["retorque"]
    assert facts.of(EVENT)
    assert facts.of(SEEN)
    assert not survey.open_symptoms, "an unexplained symptom would keep everything behind it shut"
    left = last_left(survey.build)
    assert left is not None
    assert left.items


def test_the_hand_stands_on_a_line_that_tells_something(sample: Path) -> None:
    workshop, build = _load(sample, DEMO.MIDDLE)
    with workshop:
        arrow = workshop.arrow(build)
    assert arrow is not None
    told_there = [end for end in loose_ends(Survey(build, datetime.now(UTC))) if end.line.id == arrow.line]
    assert any(arrow.place in end.places for end in told_there)


def test_the_finished_build_has_every_gate_passed_and_nothing_that_blocks(sample: Path) -> None:
    survey, ends = _look(sample, DEMO.FINISHED)
    standings = gate_standings(survey, ends)
    assert len(standings) == 7
    assert all(one.passed for one in standings)
    assert [end.line.number for end in ends if end.blocks] == []
    assert [line.number for line in survey.build.lines if survey.open(line)] == []


def test_the_finished_build_has_a_history(sample: Path) -> None:
    workshop, build = _load(sample, DEMO.FINISHED)
    with workshop:
        deeds = [written.deed for written in workshop.journal(build)]
    entries = [entry for deed in deeds for entry in deed.entries]
    assert {"undo", "pass", "read", "figure"} <= {deed.verb.value for deed in deeds}
    assert {"disturbed", "concession"} <= {entry.event.value for entry in entries}
    assert {deed.by for deed in deeds} == {"MK", "JT", "RB"}
    assert (deeds[-1].at - deeds[0].at).days > 100
    (conceded,) = build.facts.concessions
    assert build.facts.lines[conceded].state.value == "done"
    assert len(build.facts.of(RUN)) == 2
    survey = Survey(build, datetime.now(UTC))
    assert [line.number for line in build.lines if line.step.second_look and not survey.seen_twice(line)] == []
    typed = {reading.text for readings in build.facts.readings.values() for reading in readings.values()}
    assert {"0.38 mm", "15 thou", "0,38 mm"} <= typed


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_finished_build_prints(sample: Path, tmp_path: Path, paper: str) -> None:
    workshop, build = _load(sample, DEMO.FINISHED)
    with workshop:
        entries = [one for written in workshop.journal(build) for one in told(build, written.deed)]
    survey = Survey(build, datetime.now(UTC))
    traveller, record = tmp_path / "traveller.pdf", tmp_path / "record.pdf"
    assert write_traveller(traveller, survey, number=1, paper=paper) >= len(build.stages)
    assert write_record(record, survey, entries, paper=paper) > 1
    assert all(path.read_bytes().startswith(b"%PDF") for path in (traveller, record))
