"""The loose-end rules, one small module each, and the registry that runs them all.

A rule is added by writing its module and naming it here; nothing else knows the rules.
"""

from app.build.rules import (
    clock_ahead,
    concession_open,
    gate_line_open,
    hold_open,
    hole_unsealed,
    later_past,
    later_possible,
    look_again,
    not_primed,
    passed_over,
    put_off,
    reading_missing,
    reading_out,
    reading_undecided,
    source_missing,
    spec_empty,
    stopped,
    temporary_in,
    trial_only,
)
from app.build.rules.rule import LooseEnd, Rule
from app.build.survey import Survey

# In the order of harm: what ruins the engine first.
RULES: tuple[Rule, ...] = (
    not_primed.RULE,
    hole_unsealed.RULE,
    hold_open.RULE,
    stopped.RULE,
    reading_out.RULE,
    temporary_in.RULE,
    passed_over.RULE,
    gate_line_open.RULE,
    look_again.RULE,
    later_past.RULE,
    later_possible.RULE,
    reading_missing.RULE,
    reading_undecided.RULE,
    trial_only.RULE,
    spec_empty.RULE,
    source_missing.RULE,
    put_off.RULE,
    concession_open.RULE,
    clock_ahead.RULE,
)


def loose_ends(survey: Survey, rules: tuple[Rule, ...] = RULES) -> tuple[LooseEnd, ...]:
    """Everything open that will bite later, the gravest rule first, then in the order of the sheet."""
    return tuple(end for rule in rules for end in rule.find(survey))
