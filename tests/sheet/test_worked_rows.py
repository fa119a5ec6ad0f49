"""What is worked out from a line's readings stands on the line itself, and the parts of a sum are not judged."""

from app.sheet.rows import line_row
from tests.cases.story import Told, story


def _told() -> Told:
    told = story(before="main-clearance")
    told.figure("main-clearance", "0.040 to 0.070 mm")
    return told


def _second(told: Told) -> str:
    return "".join(run.text for run in line_row(told.survey, told.line("main-clearance")).second)


def test_the_span_of_the_results_and_that_all_are_in() -> None:
    told = _told()
    for place, bore in (("1", "54.050 mm"), ("2", "54.060 mm")):
        told.read("main-clearance", bore, f"{place} bore")
        told.read("main-clearance", "54.000 mm", f"{place} journal")
    assert "Clearance 0.05 to 0.06 mm, In." in _second(told)


def test_the_place_that_is_out_is_named() -> None:
    told = _told()
    told.read("main-clearance", "54.080 mm", "3 bore")
    told.read("main-clearance", "54.000 mm", "3 journal")
    assert "Clearance 0.08 mm, Main 3 clearance Out." in _second(told)


def test_bore_and_journal_alone_are_neither_in_nor_out() -> None:
    told = _told()
    told.read("main-clearance", "54.080 mm", "3 bore")
    row = line_row(told.survey, told.line("main-clearance"))
    assert {one.verdict for one in row.write_ins} == {None}
    assert "Clearance" not in _second(told)
