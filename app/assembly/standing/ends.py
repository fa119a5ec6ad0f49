"""What a loose end can be, each with its sentences in app/words."""

from enum import Enum


class End(Enum):
    """One way something can be left open. The value is what --json calls it."""

    ADAPTER_ANGLE_ONLY = "adapter-angle-only"
    ADAPTER_UNMEASURED = "adapter-unmeasured"
    ANGLE_FIRST = "angle-first"
    BOLT_NOT_NEW = "bolt-not-new"
    BOLT_UNMEASURED = "bolt-unmeasured"
    BOLT_WORN = "bolt-worn"
    CLOCK_AHEAD = "clock-ahead"
    CONCESSION_OPEN = "concession-open"
    COUNT_REACHED = "count-reached"
    DECISION_REOPENED = "decision-reopened"
    ENGAGEMENT_SHORT = "engagement-short"
    FIGURES_DISAGREE = "figures-disagree"
    FIGURE_CAME_LATER = "figure-came-later"
    FIGURE_CHOSEN_WEAK = "figure-chosen-weak"
    FIGURE_CONTRADICTS = "figure-contradicts"
    FINDING_OPEN = "finding-open"
    FOLLOW_UP_DUE = "follow-up-due"
    GAP_PER_INCH = "gap-per-inch"
    GATE_LINE_OPEN = "gate-line-open"
    GAUGE_COARSE = "gauge-coarse"
    HEAT_FIGURE = "heat-figure"
    HEAT_READ = "heat-read"
    HOLD_OPEN = "hold-open"
    HOLE_OPEN = "hole-open"
    HOLE_OTHER_THREAD = "hole-other-thread"
    HOLE_SHALLOW = "hole-shallow"
    HOLE_UNSEALED = "hole-unsealed"
    LASH_ALONE = "lash-alone"
    LATER_PAST = "later-past"
    LATER_POSSIBLE = "later-possible"
    LONG_PAUSE = "long-pause"
    LOOK_AGAIN = "look-again"
    METHOD_DIFFERS = "read-otherwise"
    METHOD_UNSAID = "not-said-how"
    MOVED_BY = "moved-by"
    NOT_PRIMED = "not-primed"
    NO_LIMITS = "no-limits"
    OPENED_NOT_CLOSED = "opened-not-closed"
    OPEN_TIME_OVER = "open-time-over"
    OVER_PROOF = "over-proof"
    PASSED_OVER = "passed-over"
    PASS_OPEN = "pass-open"
    PRESSURE_OVER = "pressure-over"
    PUT_OFF = "put-off"
    READING_MISSING = "reading-missing"
    READING_OUT = "reading-out"
    READING_UNDECIDED = "reading-undecided"
    RESULT_PART_CHANGED = "result-part-changed"
    RESULT_READ_AGAIN = "result-read-again"
    ROUNDS_MOVED = "rounds-moved"
    SECOND_LOOK_MISSING = "second-look-missing"
    SIZE_OF_PART = "size-of-part"
    SIZE_OUTSIDE = "size-outside"
    SIZE_UNLIKE = "size-unlike"
    SOURCE_MISSING = "source-missing"
    SPEC_EMPTY = "spec-empty"
    STANDING_IN = "standing-in"
    STOPPED = "stopped"
    STUD_REFUSED = "stud-refused"
    SYMPTOM_OPEN = "symptom-open"
    TEMPORARY_IN = "temporary-in"
    TEMPORARY_LOST = "temporary-lost"
    TEMPORARY_SAID_IN = "temporary-said-in"
    THREADS_DIFFER = "threads-differ"
    TOOL_DOUBTFUL = "tool-doubtful"
    TOOL_OUTSIDE = "tool-outside"
    TOOL_UNKNOWN = "tool-unknown"
    TRIAL_ONLY = "trial-only"
    TRIAL_SAID = "trial-said"
    UNIT_NOT_ON_WRENCH = "unit-not-on-wrench"
    WITHIN_WORN = "within-worn"
    WRENCH_UNFIT = "wrench-unfit"


# What happens if nobody sees to these is the same whatever line they are at; elsewhere the plan's own words go first.
OWN_HARM = frozenset(
    (
        End.ADAPTER_ANGLE_ONLY,
        End.ADAPTER_UNMEASURED,
        End.CLOCK_AHEAD,
        End.FIGURES_DISAGREE,
        End.FIGURE_CAME_LATER,
        End.FIGURE_CHOSEN_WEAK,
        End.FIGURE_CONTRADICTS,
        End.GAUGE_COARSE,
        End.SIZE_OF_PART,
        End.SIZE_OUTSIDE,
        End.SIZE_UNLIKE,
        End.SOURCE_MISSING,
        End.TEMPORARY_LOST,
        End.TEMPORARY_SAID_IN,
        End.TOOL_DOUBTFUL,
        End.TOOL_OUTSIDE,
        End.TOOL_UNKNOWN,
        End.TRIAL_ONLY,
        End.TRIAL_SAID,
        End.UNIT_NOT_ON_WRENCH,
    )
)


class Outcome(Enum):
    """What may be said beside why a thing is a loose end: what happens if nobody sees to it, and what clears it."""

    HARM = "harm"
    CLEARS = "clears"
    AS_PLANNED = "as planned"


class Shutting(Enum):
    """Why an open line keeps its gate shut though no rule speaks of it."""

    OPEN = "open"
    DO_IT = "do it"
