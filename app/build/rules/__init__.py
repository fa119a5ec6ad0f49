"""The loose-end rules, one small module each, and the registry that runs them all.

A rule is added by writing its module and naming it here; nothing else knows the rules.
"""

from app.build.rules import (
    clock_ahead,
    concession_open,
    count_reached,
    decision_reopened,
    figures_disagree,
    finding_open,
    follow_up_due,
    gate_line_open,
    hold_open,
    hole_open,
    hole_unsealed,
    later_past,
    later_possible,
    long_pause,
    look_again,
    not_primed,
    open_time_over,
    opened_not_closed,
    passed_over,
    put_off,
    reading_missing,
    reading_out,
    reading_undecided,
    second_look_missing,
    source_missing,
    spec_empty,
    standing_in,
    stopped,
    temporary_in,
    tool_doubtful,
    trial_only,
)
from app.build.rules.rule import LooseEnd, Rule
from app.build.survey import Survey

# In the order of harm: what ruins the engine first.
RULES: tuple[Rule, ...] = (
    not_primed.RULE,
    hole_unsealed.RULE,
    finding_open.RULE,
    hold_open.RULE,
    stopped.RULE,
    opened_not_closed.RULE,
    hole_open.RULE,
    reading_out.RULE,
    count_reached.RULE,
    temporary_in.RULE,
    standing_in.RULE,
    open_time_over.RULE,
    passed_over.RULE,
    gate_line_open.RULE,
    look_again.RULE,
    second_look_missing.RULE,
    decision_reopened.RULE,
    figures_disagree.RULE,
    tool_doubtful.RULE,
    later_past.RULE,
    later_possible.RULE,
    reading_missing.RULE,
    reading_undecided.RULE,
    trial_only.RULE,
    spec_empty.RULE,
    source_missing.RULE,
    follow_up_due.RULE,
    long_pause.RULE,
    put_off.RULE,
    concession_open.RULE,
    clock_ahead.RULE,
)


def loose_ends(survey: Survey, rules: tuple[Rule, ...] = RULES) -> tuple[LooseEnd, ...]:
    """Everything open that will bite later, the gravest rule first, then in the order of the sheet."""
    return tuple(end for rule in rules for end in rule.find(survey))
