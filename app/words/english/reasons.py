"""Why a line is to be looked at again."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.reasons import Because
from app.words.say import Sentence

TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    Because: {
        Because.AS_WRITTEN: "{text}",
        Because.DONE_AFTER: "{line} {do}: was done after it",
        Because.DOUBTED_ON_COMING_BACK: "doubted on coming back.",
        Because.ENGINE_HAS_NOW: "the engine has {count} {what} now.",
        Because.FIGURE_IS_NOW: "its figure is {figure} now.",
        Because.FINDING_IS_NOW: "{line} {place} is {value} now.",
        Because.FINDING_NOT_KNOWN: "{line} {place} is not known any more.",
        Because.FOUND_WRONG: "{tool} was found wrong.",
        Because.HAPPENED: "{title}.",
        Because.JOINT_SLACKENED: "the joint was slackened: {why}.",
        Because.NOT_KNOWN: "{line} {do}: is no longer known",
        Because.OPENED: "{what}.",
        Because.PART_AGAIN: "{part} {fit} again.",
        Because.PLACE_OPENED: "{place} was opened.",
        Because.READS_OUT: "{place} reads {value}, out of limits.",
        Because.SECOND_LOOK_OUT: "second look: {values} out of limits.",
        Because.THING_OPENED: "{what} was opened.",
        Because.TO_DO_AGAIN: "{line} {do}: is To do again",
        Because.VALUE_RUBBED_OUT: "the value at {place} was rubbed out.",
        Because.WAS_OPENED: "{line} {do}: was opened ({state})",
    }
}
