"""Figures as printed manuals give them, each read to what it comes to, or asked about where it can be read two ways.

The wordings are general practice in printed manuals; the factors are exact (NIST SP 811).
"""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from app.trade.conditions import UNSAID, Band, Conditions, Heat, Reference, Tier
from app.trade.figure import Figure, Note, Target
from app.trade.notation import NotationError, read_figure, read_spec
from app.trade.quantity import Kind, Limits, TorqueTurn

FIGURES = tomllib.loads((Path(__file__).parent / "notation.toml").read_text(encoding="utf-8"))["figure"]
# The file rounds some of what it gives to five digits.
REL = 1e-5

# What the words beside some of them say; every other figure of the file says nothing of its conditions.
CONDITIONS = {
    '.010" HOT': Conditions(heat=Heat.HOT),
    "0.20 mm cold": Conditions(heat=Heat.COLD),
    "Limit 0.10 mm": Conditions(tier=Tier.WORN),
    "15 µm Ra": Conditions(reference=Reference.RA),
    "0.05 mm T.I.R.": Conditions(reference=Reference.TIR),
    "Ø86.000-86.010 mm": Conditions(reference=Reference.DIAMETER),
    "40-60 psi @ 2000 rpm": Conditions(speed_rpm=Band(2000, 2000)),
    "10° ± 2° BTDC @ 750 rpm": Conditions(reference=Reference.BTDC, speed_rpm=Band(750, 750)),
    "80 lb @ 1.70 in": Conditions(height_mm=43.18),
}
ASKED = [one for one in FIGURES if "want" in one]
READ = [one for one in FIGURES if "want" not in one]


def _read(one: Mapping[str, Any]) -> Figure:
    return read_figure(one["text"], Kind(one["kind"]), unit=one.get("line_unit"))


@pytest.mark.parametrize("one", ASKED, ids=lambda one: one["text"])
def test_what_can_be_read_two_ways_is_never_read_unasked(one: Mapping[str, Any]) -> None:
    assert one["want"] == "refuse or ask"
    with pytest.raises(NotationError):
        _read(one)


@pytest.mark.parametrize("one", READ, ids=lambda one: one["text"])
def test_every_printed_figure_comes_to_what_it_says(one: Mapping[str, Any]) -> None:
    meant = _read(one).meant
    turns = meant.turns_deg if isinstance(meant, TorqueTurn) else ()
    if "turns_deg" in one:
        assert list(turns) == pytest.approx(one["turns_deg"])
    limits = meant.torque if isinstance(meant, TorqueTurn) else meant
    if isinstance(limits, Target):
        assert {"low", "high"}.isdisjoint(one)
        assert limits.value == pytest.approx(one["target"], rel=REL)
        return
    assert isinstance(limits, Limits)
    single = limits.low == limits.high == limits.target
    for name in ("low", "high", "target"):
        found = getattr(limits, name)
        if name in one:
            assert found == pytest.approx(one[name], rel=REL)
        else:
            assert found is None or single


@pytest.mark.parametrize("one", READ, ids=lambda one: one["text"])
def test_the_old_door_reads_the_same(one: Mapping[str, Any]) -> None:
    spec = read_spec(one["text"], Kind(one["kind"]), unit=one.get("line_unit"))
    limits = spec.torque if isinstance(spec, TorqueTurn) else spec
    for name in {"low", "high", "target"} & set(one):
        assert getattr(limits, name) == pytest.approx(one[name], rel=REL)


@pytest.mark.parametrize("one", READ, ids=lambda one: one["text"])
def test_words_that_carry_meaning_stay_beside_the_value(one: Mapping[str, Any]) -> None:
    figure = _read(one)
    wanted = CONDITIONS.get(one["text"], UNSAID)
    if wanted.height_mm is not None:
        assert figure.conditions.height_mm == pytest.approx(wanted.height_mm)
        return
    assert figure.conditions == wanted


def test_a_range_of_angles_is_kept_as_its_window() -> None:
    meant = read_figure("20 N·m +85°-95°", Kind.TORQUE).meant
    assert isinstance(meant, TorqueTurn)
    assert meant.windows_deg == ((85.0, 95.0),)


@pytest.mark.parametrize("text", ["65/70 lbf ft", "2.2485/2.2490 in"])
def test_a_slash_says_that_it_was_read_as_a_range(text: str) -> None:
    kind = Kind.TORQUE if "lbf" in text else Kind.LENGTH
    assert Note.READ_AS_RANGE in read_figure(text, kind).notes


def test_every_condition_is_of_a_figure_of_the_file() -> None:
    assert set(CONDITIONS) <= {one["text"] for one in READ}
    assert len(FIGURES) == 84
