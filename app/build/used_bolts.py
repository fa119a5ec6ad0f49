"""Bolts used again: what each measured, and whether it may be used by the limits of its own sheet."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.build import actions as a
from app.build.facts import JointSaid, Tightened
from app.build.refusal import Refused
from app.trade.notation import NotationError, read_quantity, write_magnitude
from app.trade.quantity import Kind

if TYPE_CHECKING:
    from app.trade.tightening import Use

_LONGEST_MM = 2000.0


def measured(action: a.CountTightenings) -> Tightened:
    """The count with what was measured; raises Refused for a length that cannot be."""
    length, free, neck = (_length_mm(text) for text in (action.length, action.free, action.neck))
    if (free is None) is not (neck is None):
        raise Refused("A neck is told by two diameters: give the thread where it was free and where it is thinnest.")
    if free is not None and neck is not None and neck > free:
        raise Refused(f"The thinnest place, “{action.neck}”, cannot be thicker than where it is free, “{action.free}”.")
    return Tightened(action.times, action.by, action.at, action.times == 0, length, free, neck)


def _length_mm(text: str) -> float | None:
    if not text.strip():
        return None
    try:
        found = read_quantity(text, Kind.LENGTH, unit="mm").magnitude
    except NotationError as error:
        raise Refused(f"What the bolt measures: {error}") from error
    if not 0 < found <= _LONGEST_MM:
        raise Refused(f"A bolt measures more than 0 and at most {_LONGEST_MM:g} mm, not “{text}”: measure it again.")
    return found


def measured_words(one: Tightened) -> Iterator[str]:
    """What a bolt measured, in words."""
    if one.length_mm is not None:
        yield f"{write_magnitude(one.length_mm, 'mm')} long"
    if one.free_mm is not None and one.neck_mm is not None:
        yield f"neck {write_magnitude(one.neck_mm, 'mm')} of {write_magnitude(one.free_mm, 'mm')}"


def use_again(said: JointSaid, one: Tightened | None) -> tuple["Use", ...]:
    """What each limit of the joint says of a bolt; nothing where its sheet sets none, or for a new bolt."""
    if one is not None and one.new and one.times <= 1:
        return ()
    from app.trade.tightening import UsedBolt, UsePolicy, UseRule, may_be_used  # wanted only where a limit is said

    bolt = UsedBolt(
        one.times if one else 0,
        one.free_mm if one else None,
        one.neck_mm if one else None,
        one.length_mm if one else None,
    )
    limits = ((UsePolicy.LENGTH, said.longest_mm), (UsePolicy.NECK, said.necked_mm))
    return tuple(may_be_used(UseRule(policy, limit), bolt) for policy, limit in limits if limit is not None)
