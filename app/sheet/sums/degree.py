"""A cam put to the degree wheel: its centres, durations and overlap, and how it stands against its card."""

from collections.abc import Iterator

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import reals
from app.sheet.sums.shown import formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.cam import Timing, centre_from_readings_deg, degree, timing
from app.trade.notation import write_quantity
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.tables import Known
from app.trade.valves import SEAT, CamEvents
from app.trade.verdict import Verdict, judge

ASKS = (
    Ask("readings", "Wheel at equal lift", "after TDC, both sides of the intake lobe: 60, 145.5", optional=True),
    Ask("measured", "Measured: IVO, IVC, EVO, EVC", "20-60-60-20", optional=True),
    Ask("lift", "Measured at a lift of", "0.050 in", optional=True),
    Ask("card", "Card: IVO, IVC, EVO, EVC", "20-60-60-20", optional=True),
    Ask("card_lift", "Card is for a lift of", "0.050 in", optional=True),
    Ask("tolerance", "Centre may be off", "2°", optional=True, default="2°"),
    Ask("doubt", "Doubt of the wheel", "1°", optional=True, default="1°"),
)
_EVENTS = formula(
    "Duration IVO + IVC + 180; centre duration ÷ 2 − IVO; overlap IVO + EVC", "definitions", Known.PRACTICE
)
_CENTRE = formula("Centre: the mean of the readings at equal lift", "a degree wheel page", Known.READ)
_INK: dict[Verdict, Token] = {Verdict.IN: "text", Verdict.OUT: "stop", Verdict.UNDECIDED: "mind"}


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """The centre from equal-lift readings, the timing from events, and the verdict against the card."""
    if not typed.text("readings") and not typed.text("measured"):
        raise typed.fault("readings", "give these two, or the four measured events.")
    centre = _centre(typed) if typed.text("readings") else None
    measured = _events(typed, "measured", "lift")
    card = _events(typed, "card", "card_lift")
    tolerance, doubt = typed.angle_deg("tolerance", most=30.0), typed.angle_deg("doubt", most=30.0)
    found = timing(measured) if measured is not None else None
    at = centre if centre is not None else found.intake_centre_deg if found is not None else 0.0
    sections = [section("Intake centre", f"{at:.1f}° after TDC", px=FIGURE_PX)]
    sections += _judged(typed, card, measured, centre, tolerance, doubt)
    if centre is not None and found is not None:
        apart = centre - found.intake_centre_deg
        words = f"{found.intake_centre_deg:.1f}° by the events; {abs(apart):.1f}° apart"
        sections.append(
            section("The same by its events", words, "Far apart: the lobe is not symmetrical, or the wheel moved.")
        )
    for heading, one in (("As measured", found), ("By the card", timing(card) if card is not None else None)):
        if one is not None:
            sections.append(_timing(heading, one))
    sections.append(
        section("Before you trust it", "Find TDC with a piston stop, never by feel, and turn the crank forward only.")
    )
    sources = [_EVENTS] * (found is not None or card is not None) + [_CENTRE] * (centre is not None)
    sections.append(sources_section(sources))
    late = at - timing(card).intake_centre_deg if card is not None else None
    values: dict[str, object] = {"intake_centre_deg": at, "late_deg": late, **_values(found), "sources": sources}
    return Answer(tuple(sections), values)


def _centre(typed: Typed) -> float:
    first, second = typed.of("readings", lambda text: reals(text, typed.decimal, 2))
    return typed.of("readings", lambda _: centre_from_readings_deg(first, second))


def _events(typed: Typed, key: str, lift_key: str) -> CamEvents | None:
    if not typed.text(key):
        return None
    ivo, ivc, evo, evc = typed.of(key, lambda text: reals(text, typed.decimal, 4))
    lift = typed.quantity(lift_key, Kind.LENGTH, "mm", most=20.0, over=False) if typed.text(lift_key) else SEAT
    return typed.of(key, lambda _: CamEvents(ivo, ivc, evo, evc, lift))


def _judged(
    typed: Typed,
    card: CamEvents | None,
    measured: CamEvents | None,
    centre: float | None,
    tolerance: float,
    doubt: float,
) -> Iterator[Section]:
    if card is None:
        return
    if measured is not None and centre is None:
        found = typed.of("card_lift", lambda _: degree(card, measured, tolerance, doubt))
        events = ", ".join(f"{name} {off:+.1f}°" for name, off in found.events)
        yield section("Against the card", found.verdict.value, ink=_INK[found.verdict], px=FIGURE_PX)
        yield section("", found.sentence, f"measured less card: {events}")
        return
    wanted = timing(card).intake_centre_deg
    late = (centre or 0.0) - wanted
    band = Limits(Kind.ANGLE, wanted - tolerance, wanted + tolerance, wanted, "deg", "")
    verdict = judge(Quantity(Kind.ANGLE, centre or 0.0, "deg", ""), band, doubt)
    side = "late" if late > 0 else "early"
    yield section("Against the card", verdict.value, ink=_INK[verdict], px=FIGURE_PX)
    yield section(
        "", f"{abs(late):.1f}° {side}; the card's centre is {wanted:.1f}° after TDC, ± {tolerance:g}° allowed"
    )


def _timing(heading: str, one: Timing) -> Section:
    stands = (
        "straight up"
        if abs(one.advance_deg) < 0.05
        else f"{abs(one.advance_deg):.1f}° {'advanced' if one.advance_deg > 0 else 'retarded'}"
    )
    return section(
        f"{heading}, {_lift(one.lift)}",
        f"duration: intake {one.intake_duration_deg:g}°, exhaust {one.exhaust_duration_deg:g}°",
        f"centres: intake {one.intake_centre_deg:.1f}° after, exhaust {one.exhaust_centre_deg:.1f}° before TDC",
        f"separation {one.separation_deg:.1f}° of cam, overlap {one.overlap_deg:g}° of crank, {stands}",
    )


def _lift(lift: Quantity) -> str:
    return "seat to seat" if lift is SEAT else f"at {write_quantity(lift)} lift"


def _values(found: Timing | None) -> dict[str, object]:
    names = (
        "intake_duration_deg",
        "exhaust_duration_deg",
        "exhaust_centre_deg",
        "separation_deg",
        "overlap_deg",
        "advance_deg",
    )
    return {name: getattr(found, name) if found is not None else None for name in names}


DEGREE = Sum(
    id="degree",
    title="Degreeing a cam",
    about="Centre, duration, overlap and separation, and how the cam stands against its card.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={"readings": "60, 145.5", "card": "20-60-60-20", "card_lift": "0.050 in"},
)
