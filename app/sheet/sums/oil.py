"""Hot oil pressure by speed, against the maker's figures and the rules of thumb; and oil filled at an angle."""

from collections.abc import Iterator, Mapping

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Item, Section
from app.sheet.sums.reading import by_number
from app.sheet.sums.shown import both_kpa, both_mm, cited, formula, section, sources_section, words
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.health import (
    dip_change_mm,
    falling_with_speed,
    judge_oil,
    oil_pressure_least_kpa,
    underfill_litres,
)
from app.trade.quantity import Kind
from app.trade.tables import Known
from app.trade.verdict import Verdict

MOST_RPM = 20_000
MOST_KPA = 10_000.0
_NOISE_KPA = 1e-6
ASKS = (
    Ask("hot", "Hot pressure by speed", "800 15; 2000 35; 3000 48 psi", optional=True, long=True),
    Ask("maker", "Maker's least by speed", "800 10; 3000 40 psi", optional=True),
    Ask("angle", "Engine stands at", "5°, for the oil at the stick", optional=True),
    Ask("middle", "Stick from the sump's middle", "150 mm, towards the low end", optional=True),
    Ask("surface", "Oil's surface in cm²", "600", optional=True),
)
_RISE = formula("Pressure rises with speed, then stays", "usual among engine builders", Known.PRACTICE)
_DIP = formula(
    "Reads high by distance × tan(angle); filled short by that × the surface", "geometry; upright walls", Known.PRACTICE
)


def work(typed: Typed, shelf: Shelf) -> Answer:
    """The pressures by the maker's figures and each rule, whether they fall with speed, and what an angle hides."""
    if not typed.text("hot") and not typed.text("angle"):
        raise typed.fault("hot", "give this, such as 800 15; 3000 48 psi, or the angle the engine stands at.")
    hot = _by_speed(typed, "hot")
    maker = _by_speed(typed, "maker")
    if maker and not hot:
        raise typed.fault("hot", "still to be given: what was read at the maker's speeds.")
    sections: list[Section] = []
    sources: list[str] = []
    values: dict[str, object] = {"maker": [], "rules": [], "falling": ""}
    if hot:
        sections += _pressures(shelf, hot, maker, values)
        sources += [cited(one.id, one.origin) for one in shelf.measuring.oil] + [_RISE]
    if typed.text("angle"):
        sections += _standing(typed, values)
        sources.append(_DIP)
    sections += [
        section("Before you trust it", "Read it hot, at the maker's place and grade of oil, with a gauge you know."),
        sources_section(sources),
    ]
    return Answer(tuple(sections), {**values, "sources": sources})


def _by_speed(typed: Typed, key: str) -> dict[int, float]:
    found = typed.figures(key, Kind.PRESSURE, None, most=MOST_KPA, over=False)
    return typed.of(key, lambda _: dict(sorted(by_number(found, 100, MOST_RPM).items())))


# --- pressure


def _pressures(
    shelf: Shelf, hot: Mapping[int, float], maker: Mapping[int, float], values: dict[str, object]
) -> Iterator[Section]:
    rules = judge_oil({float(rpm): kpa for rpm, kpa in hot.items()}, shelf.measuring.oil)
    falling = falling_with_speed([(float(rpm), kpa) for rpm, kpa in hot.items()])
    judged = {rpm: hot[rpm] >= least - _NOISE_KPA for rpm, least in maker.items() if rpm in hot}
    values |= {
        "maker": [
            {"rpm": rpm, "least_kpa": maker[rpm], "verdict": _verdict(fine).value} for rpm, fine in judged.items()
        ],
        "rules": [{"rule": one.rule, "verdict": one.verdict.value, "source": one.source} for one in rules],
        "falling": falling,
    }
    if judged:
        verdict = _verdict(all(judged.values()))
        unread = any(rpm not in hot for rpm in maker) and verdict is Verdict.IN
        text = "In where it was read" if unread else verdict.value
        yield section("By the maker's figures", text, ink=_ink(verdict), px=FIGURE_PX)
    else:
        verdicts = {one.verdict for one in rules}
        text = next(iter(verdicts)).value if len(verdicts) == 1 else "The rules differ"
        yield section("By the rules of thumb", text, ink="stop" if verdicts == {Verdict.OUT} else "mind", px=FIGURE_PX)
    if falling:
        yield section("", falling, ink="stop")
    if maker:
        yield Section("The maker's figures", tuple(_maker_row(rpm, least, hot) for rpm, least in maker.items()))
    else:
        yield section(
            "", "Only rules of thumb: the maker's figures go first; they differ widely from these.", ink="mind"
        )
    for one in rules:
        rule = next(rule for rule in shelf.measuring.oil if rule.id == one.rule)
        rows = []
        for rpm, kpa in hot.items():
            least = oil_pressure_least_kpa(rpm, rule)
            rows.append(f"{rpm} rpm: {both_kpa(kpa)}; at least {both_kpa(least)}")
        yield Section(one.rule, (words(one.verdict.value, _ink(one.verdict), bold=True), *map(words, rows)))


def _maker_row(rpm: int, least: float, hot: Mapping[int, float]) -> Item:
    if rpm not in hot:
        return words(f"{rpm} rpm: at least {both_kpa(least)}; not read at this speed yet", "mind")
    fine = hot[rpm] >= least - _NOISE_KPA
    verdict = _verdict(fine)
    return words(f"{rpm} rpm: {both_kpa(hot[rpm])}; at least {both_kpa(least)}: {verdict.value}", _ink(verdict))


def _verdict(fine: bool) -> Verdict:
    return Verdict.IN if fine else Verdict.OUT


def _ink(verdict: Verdict) -> Token:
    return "text" if verdict is Verdict.IN else "stop"


# --- standing at an angle


def _standing(typed: Typed, values: dict[str, object]) -> Iterator[Section]:
    if not typed.text("middle"):
        raise typed.fault("middle", "still to be given: how far the stick is from the sump's middle.")
    angle = typed.angle_deg("angle", most=90.0)
    middle = typed.length_mm("middle", least=-5000.0, most=5000.0)
    change = typed.of("angle", lambda _: dip_change_mm(middle, angle))
    way = "high" if change > 0 else "low"
    yield section(
        f"Standing at {angle:g}°", f"reads {both_mm(abs(change))} {way}" if change else "the stick reads right", px=20
    )
    values["dip_change_mm"] = change
    if typed.text("surface"):
        surface = typed.number("surface", least=1.0, most=20_000.0)
        short = underfill_litres(middle, angle, surface)
        values["underfill_l"] = short
        yield section("", f"filled to the mark like this: {abs(short):.2f} L too {'little' if short > 0 else 'much'}")


OIL = Sum(
    id="oil",
    title="Oil pressure and fill",
    about="Hot pressure by speed, and what standing at an angle hides.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "hot": "800 15; 2000 35; 3000 48 psi",
        "maker": "800 10; 3000 40 psi",
        "angle": "5°",
        "middle": "150 mm",
        "surface": "600",
    },
)
