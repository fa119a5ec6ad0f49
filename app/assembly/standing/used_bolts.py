"""Bolts used again: what each measured, and whether it may be used by the limits of its own sheet."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.assembly.said.counts import Tightened
from app.assembly.said.joints import JointSaid
from app.trade.notation import write_magnitude

if TYPE_CHECKING:
    from app.trade.tightening import Use


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
