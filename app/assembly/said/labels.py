"""What a deed did, to be told in a few words."""

from enum import Enum, auto


class Did(Enum):
    """What a deed did."""

    ARRANGED = auto()
    CAME_BACK = auto()
    CAM_SAID = auto()
    CHOSEN = auto()
    CONCEDED = auto()
    COUNTED = auto()
    DECIDED = auto()
    FIGURE_CHOSEN = auto()
    FIGURE_ENTERED = auto()
    FIGURE_OFFERED = auto()
    FITTED = auto()
    FOUND = auto()
    GATE_PASSED = auto()
    HAPPENED = auto()
    HOLE_SAID = auto()
    JOINT_SAID = auto()
    LEFT = auto()
    MADE = auto()
    MARKED = auto()
    OPENED = auto()
    PART_SAID = auto()
    PUT_IN = auto()
    RAN = auto()
    READ = auto()
    READ_UNDER = auto()
    RUBBED_OUT = auto()
    SEEN_AGAIN = auto()
    SLACKENED = auto()
    THING_IN = auto()
    THING_LOST = auto()
    THING_OUT = auto()
    TICKED = auto()
    TIGHTENED = auto()
    TOOL_KEPT = auto()
    TOOL_WRONG = auto()
    WIDTH_SAID = auto()
