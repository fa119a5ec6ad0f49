"""How a figure is meant, in which conditions two differ, and whether a reading may be judged by one."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.conditions import (
    UNSAID,
    Answer,
    Aspect,
    Band,
    Conditions,
    Difference,
    Heat,
    Method,
    Reference,
    Threads,
    Tier,
    applies,
    differ,
    merged,
    said,
)
from app.trade.notation import NotationError, read_figure
from app.trade.quantity import Kind

COLD, HOT = Conditions(heat=Heat.COLD), Conditions(heat=Heat.HOT)
DRY, OILED = Conditions(threads=Threads.DRY), Conditions(threads=Threads.OILED)


def at(celsius: float) -> Conditions:
    return Conditions(heat=Heat.AT, at_c=Band(celsius, celsius))


def turning(low: float, high: float) -> Conditions:
    return Conditions(speed_rpm=Band(low, high))


@pytest.mark.parametrize(
    ("text", "kind", "wanted"),
    [
        ("0.25 mm HOT", Kind.LENGTH, HOT),
        ("0.25 mm (engine cold)", Kind.LENGTH, COLD),
        ("cold: 0.25 mm", Kind.LENGTH, COLD),
        ("0.008 in. cold (0.20 mm)", Kind.LENGTH, COLD),
        ("0.25 mm at 20 °C", Kind.LENGTH, at(20)),
        ("0.25 mm (68 °F)", Kind.LENGTH, at(20)),
        ("0.25 mm @ 20 ± 5 °C", Kind.LENGTH, Conditions(heat=Heat.AT, at_c=Band(15, 25))),
        ("0.25 mm hot, at 90 °C", Kind.LENGTH, Conditions(heat=Heat.HOT, at_c=Band(90, 90))),
        ("5-20 psi @ 750-800 rpm", Kind.PRESSURE, turning(750, 800)),
        ("60 psi at 3000 r.p.m.", Kind.PRESSURE, turning(3000, 3000)),
        ("45 N·m dry", Kind.TORQUE, DRY),
        ("45 N·m, lightly oiled", Kind.TORQUE, OILED),
        ("45 N·m with engine oil", Kind.TORQUE, Conditions(threads=Threads.OILED, lubricant="engine oil")),
        ("45 N·m with moly paste", Kind.TORQUE, Conditions(threads=Threads.COMPOUND, lubricant="moly paste")),
        ("45 N·m with sealant + 90°", Kind.TORQUE, Conditions(threads=Threads.COMPOUND, lubricant="sealant")),
        ("0.05 mm (plastic, dry)", Kind.LENGTH, Conditions(method=Method.PLASTIC_DRY)),
        ("0.05 mm plastic gauge, oiled", Kind.LENGTH, Conditions(method=Method.PLASTIC_OILED)),
        ("0.05 mm by difference", Kind.LENGTH, Conditions(method=Method.DIFFERENCE)),
        ("12° B.T.D.C.", Kind.ANGLE, Conditions(reference=Reference.BTDC)),
        ("12° after top dead centre", Kind.ANGLE, Conditions(reference=Reference.ATDC)),
        ("40° ABDC", Kind.ANGLE, Conditions(reference=Reference.ABDC)),
        ("0.05 mm total indicator reading", Kind.LENGTH, Conditions(reference=Reference.TIR)),
        ("Ra 0.8 µm", Kind.LENGTH, Conditions(reference=Reference.RA)),
        ("86.0 mm dia.", Kind.LENGTH, Conditions(reference=Reference.DIAMETER)),
        ("new 0.02 to 0.05 mm", Kind.LENGTH, Conditions(tier=Tier.NEW)),
        ("service limit 0.10 mm", Kind.LENGTH, Conditions(tier=Tier.WORN)),
        ("80 lb at 1 23/32 in", Kind.FORCE, Conditions(height_mm=43.65625)),
    ],
)
def test_words_become_conditions(text: str, kind: Kind, wanted: Conditions) -> None:
    found = read_figure(text, kind).conditions
    if wanted.at_c is not None and found.at_c is not None:
        assert found.heat is wanted.heat
        assert [found.at_c.low, found.at_c.high] == pytest.approx([wanted.at_c.low, wanted.at_c.high])
        return
    assert found == wanted


@pytest.mark.parametrize("text", ["cold 0.20 mm hot", "45 N·m dry, oiled", "12° BTDC ATDC"])
def test_two_conditions_of_one_figure_are_refused(text: str) -> None:
    kind = Kind.TORQUE if "N·m" in text else Kind.ANGLE if "°" in text else Kind.LENGTH
    with pytest.raises(NotationError, match="says two things"):
        read_figure(text, kind)


def test_a_word_beside_a_figure_of_another_kind_is_no_condition() -> None:
    with pytest.raises(NotationError):
        read_figure("0.20 mm dry", Kind.LENGTH)
    assert read_figure("at least 1 bar", Kind.PRESSURE).conditions == UNSAID


@pytest.mark.parametrize(
    ("a", "b", "wanted"),
    [
        (COLD, HOT, (Difference(Aspect.HEAT, unknown=False),)),
        (COLD, UNSAID, (Difference(Aspect.HEAT, unknown=True),)),
        (COLD, COLD, ()),
        (at(20), at(22), ()),
        (at(20), at(80), (Difference(Aspect.HEAT, unknown=False),)),
        (DRY, OILED, (Difference(Aspect.THREADS, unknown=False),)),
        (turning(1000, 1000), turning(1000.0000001, 1000), ()),
        (turning(1000, 1000), turning(2000, 2000), (Difference(Aspect.SPEED, unknown=False),)),
        (
            Conditions(heat=Heat.COLD, tier=Tier.NEW),
            Conditions(heat=Heat.HOT),
            (Difference(Aspect.HEAT, unknown=False), Difference(Aspect.TIER, unknown=True)),
        ),
    ],
)
def test_in_which_conditions_two_figures_differ(a: Conditions, b: Conditions, wanted: tuple[Difference, ...]) -> None:
    assert differ(a, b) == wanted


@pytest.mark.parametrize(
    ("figure", "reading", "answer", "because"),
    [
        (UNSAID, HOT, Answer.YES, ()),
        (COLD, COLD, Answer.YES, ()),
        (COLD, HOT, Answer.NO, (Aspect.HEAT,)),
        (COLD, UNSAID, Answer.UNKNOWN, (Aspect.HEAT,)),
        (COLD, at(21), Answer.YES, ()),
        (COLD, at(80), Answer.NO, (Aspect.HEAT,)),
        (HOT, at(85), Answer.YES, ()),
        (at(20), at(23), Answer.YES, ()),
        (at(20), at(30), Answer.NO, (Aspect.HEAT,)),
        (turning(1000, 2000), turning(1500, 1500), Answer.YES, ()),
        (turning(2000, 2000), turning(1950, 1950), Answer.YES, ()),
        (turning(2000, 2000), turning(900, 900), Answer.NO, (Aspect.SPEED,)),
        (DRY, OILED, Answer.NO, (Aspect.THREADS,)),
        (OILED, Conditions(threads=Threads.OILED, lubricant="engine oil"), Answer.YES, ()),
        (Conditions(threads=Threads.COMPOUND, lubricant="moly paste"), OILED, Answer.NO, (Aspect.THREADS,)),
        (Conditions(method=Method.PLASTIC), Conditions(method=Method.PLASTIC_DRY), Answer.YES, ()),
        (Conditions(method=Method.PLASTIC_DRY), Conditions(method=Method.PLASTIC_OILED), Answer.NO, (Aspect.METHOD,)),
        (Conditions(tier=Tier.NEW), UNSAID, Answer.YES, ()),
        (Conditions(tier=Tier.NEW), Conditions(tier=Tier.WORN), Answer.NO, (Aspect.TIER,)),
        (
            Conditions(reference=Reference.BTDC),
            Conditions(reference=Reference.ATDC),
            Answer.NO,
            (Aspect.REFERENCE,),
        ),
    ],
)
def test_a_reading_is_judged_only_under_the_figures_conditions(
    figure: Conditions, reading: Conditions, answer: Answer, because: tuple[Aspect, ...]
) -> None:
    found = applies(figure, reading)
    assert (found.answer, found.because) == (answer, because)


BANDS = st.one_of(st.none(), st.floats(0, 7000).map(lambda value: Band(value, value)))
ANY = st.builds(
    Conditions,
    heat=st.sampled_from([Heat.UNKNOWN, Heat.COLD, Heat.HOT]),
    threads=st.sampled_from(Threads),
    speed_rpm=BANDS,
    method=st.sampled_from(Method),
    tier=st.sampled_from(Tier),
    reference=st.sampled_from(Reference),
    height_mm=st.one_of(st.none(), st.floats(1, 100)),
)


@given(ANY, ANY)
def test_differences_have_no_side(a: Conditions, b: Conditions) -> None:
    assert differ(a, b) == differ(b, a)
    assert differ(a, a) == ()
    assert applies(a, a).answer is Answer.YES
    assert applies(UNSAID, b).answer is Answer.YES


@given(ANY, ANY)
def test_what_is_said_of_two_is_all_kept_or_refused(a: Conditions, b: Conditions) -> None:
    clash = [one for one in differ(a, b) if not one.unknown]
    if clash:
        with pytest.raises(ValueError, match=f"^{clash[0].aspect.value}$"):
            merged(a, b)
        return
    both = merged(a, b)
    assert set(said(both)) == set(said(a)) | set(said(b))
    assert merged(both, a) == both


def test_every_heat_has_a_warmth_to_be_compared_by() -> None:
    for one, two in product((COLD, HOT, at(20), at(90)), repeat=2):
        assert applies(one, two).answer in (Answer.YES, Answer.NO)
