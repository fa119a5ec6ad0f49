"""Figures and readings that their own limits let through, and no engine has: a point moved, another unit taken."""

import pytest

from app.assembly.said import actions as a
from app.assembly.standing.sizes import doubt_about, doubt_about_figure, doubtful
from app.trade.envelope import Outside
from app.trade.odd import Odd
from app.words.say import say
from tests.cases.story import SHIPPED, Told, story


def odd(told: Told, line: str) -> list[str]:
    return told.said("size-doubtful") if line in told.found("size-doubtful") else []


@pytest.mark.parametrize(
    ("line", "text", "meant"),
    [
        ("end-float", "4 to 10 mm", "0.10 mm"),  # end float of a bent-axle pump
        ("torque-crank-bolt", "6000 N·m", "60"),
        ("torque-crank-bolt", "0.9 N·m", "9"),
        ("hot-oil-pressure", "at least 3 kPa", "3 bar"),
        ("end-float", "0 to 2 mm", ""),  # “0~2”: a dot lost before the 2
    ],
)
def test_a_figure_no_engine_has_is_asked_about(line: str, text: str, meant: str) -> None:
    """All of these were once taken without a word; the bounds are those of envelope.toml."""
    told = story("four-ohv", before=line)
    told.figure(line, text)
    (said,) = odd(told, line)
    assert "no size for this on any engine" in said
    assert meant in said
    assert told.end("size-doubtful", line).blocks


def test_a_point_in_the_wrong_place_is_asked_about_and_stands_until_it_is_said_to_be_so() -> None:
    told = story("four-ohv", before="end-float")
    told.figure("end-float", "at most 8 mm")
    told.read("end-float", "1.5 mm")
    told.holds("size-doubtful", "end-float", "close-bottom")
    told.concede("end-float", "a trial crank with its thrust washers out")
    assert told.found("size-doubtful") == []
    told.wait(hours=1)
    told.read("end-float", "1.6 mm")
    assert told.found("size-doubtful") == ["end-float"]


def test_one_unlike_the_others_is_asked_about_and_keeps_nothing_shut() -> None:
    told = story("four-ohv", before="lash-cold")
    line = told.line("lash-cold")
    told.figure(line.id, "at least 0.30 mm")
    for place, text in zip(line.places, ("0.36", "0.37", "0.36", "0.35", "0.58", "0.36", "0.36", "0.37"), strict=True):
        told.read(line.id, f"{text} mm", place.id)
    end = told.end("size-doubtful", line.id)
    assert (len(end.places), end.blocks) == (1, False)
    assert "0.58 mm is" in say(end.why)


def test_a_bore_is_held_against_the_other_points_of_its_place_and_a_taper_against_its_bore() -> None:
    told = story("four-ohv", before="measure-bores")
    line = told.line("measure-bores")
    first = [place for place in line.places if place.id.startswith("1 ")]
    for place in first[:-1]:
        told.read(line.id, "86.01 mm", place.id)
    last = first[-1]
    doubt = doubt_about(told.survey, told.line(line.id), last, 1, "8.602")
    assert doubt is not None
    told.read(line.id, "88.9 mm", last.id)
    found = doubtful(told.survey, told.line(line.id))
    assert {type(one.why) for one in found} == {Odd}
    assert any("more than any part" in text for text in odd(told, line.id)) or any(one.place == last for one in found)


@pytest.mark.parametrize("plan", SHIPPED)
def test_a_good_build_is_asked_about_nothing(plan: str) -> None:
    """Sound figures and readings of every line of every plan bring up no question."""
    told = story(plan)
    told.work(told.build.lines[-1].id)
    assert told.found("size-doubtful") == []
    kept = [line for line in told.build.lines if doubtful(told.survey, line)]
    assert kept == []


def test_what_is_typed_is_asked_about_before_it_is_kept() -> None:
    told = story("four-ohv", before="end-float")
    line = told.line("end-float")
    found = doubt_about_figure(told.survey, line, "4 to 10")
    assert found is not None
    assert isinstance(found.why, Outside)
    assert doubt_about_figure(told.survey, line, "0.05 to 0.15") is None
    assert doubt_about_figure(told.survey, line, "soon") is None


def test_a_bolt_longer_than_its_hole_is_told_before_it_bottoms() -> None:
    """22 mm of thread in a hole 20 mm deep: it feels tight and clamps nothing (common practice)."""
    told = story("four-ohc", before="torque-head-first")
    told.joint("torque-head-first", thread="M10x1.5", strength="10.9", engagement="22 mm")
    told.act(a.DescribeHole("head-bolts", "head 3", "AB", told.now, depth="20 mm"))
    assert told.found("hole-differs") == ["torque-head-first"]
    assert "they bottom before they clamp" in told.said("hole-differs")[0]
    told.act(a.DescribeHole("head-bolts", "head 3", "AB", told.now, depth="26 mm"))
    assert told.found("hole-differs") == []
