"""Bolts used again: what each measured, and whether it may be used by the limits of its own sheet."""

from typing import TYPE_CHECKING

from app.assembly.said.counts import Tightened
from app.assembly.said.joints import JointSaid

if TYPE_CHECKING:
    from app.trade.tightening import Use


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
