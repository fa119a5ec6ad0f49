"""Why the program put a line in a state of itself: what somebody did elsewhere, or what befell the build."""

from enum import Enum, auto


class Because(Enum):
    """Why a line is to be looked at again. AS_WRITTEN is a reason of an older form that nobody can take apart."""

    AS_WRITTEN = auto()
    DONE_AFTER = auto()
    DOUBTED_ON_COMING_BACK = auto()
    ENGINE_HAS_NOW = auto()
    FIGURE_IS_NOW = auto()
    FINDING_IS_NOW = auto()
    FINDING_NOT_KNOWN = auto()
    FOUND_WRONG = auto()
    HAPPENED = auto()
    JOINT_SLACKENED = auto()
    NOT_KNOWN = auto()
    OPENED = auto()
    PART_AGAIN = auto()
    PLACE_OPENED = auto()
    READS_OUT = auto()
    SECOND_LOOK_OUT = auto()
    THING_OPENED = auto()
    TO_DO_AGAIN = auto()
    VALUE_RUBBED_OUT = auto()
    WAS_OPENED = auto()
