"""Why something is refused, in sentences that say what, why and what to do."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.refusals import RefusalKind as R
from app.words.english.cam import NAMES
from app.words.say import Sentence, told


def _or_none(text: str, none: str = "none") -> Sentence:
    """A sentence that lists what is `known`, and says so where nothing is."""
    return lambda **args: text.format(
        **{name: told(value) for name, value in args.items()} | {"known": told(args["known"]) or none}
    )


def _boxes_open(line: str, left: int, places: int) -> str:
    return f"{line} still has {left} of {places} box{'' if places == 1 else 'es'} open: tick each place."


def _cam_angles_missing(missing: tuple[str, ...]) -> str:
    names, are = ", ".join(NAMES[name] for name in missing), "is" if len(missing) == 1 else "are"
    return f"The cam's events need all four angles: {names} {are} missing."


def _no_round(line: str, place: str, rounds: int, turn: int) -> str:
    of = f"{line} {place} is read in {rounds} round{'' if rounds == 1 else 's'}; there is no round {turn}"
    return f"{of}. A further one is begun once all before it are read." if turn > rounds else f"{of}."


def _rows_do_not_add_up(line: str, bolts: int) -> str:
    half = bolts // 2
    return (
        f"{line} has {bolts} bolt{'' if bolts == 1 else 's'}; say how many stand in each row so that they add up, "
        f"such as {bolts - half}, {half}."
    )


def _tightenings_cannot_be(times: int) -> str:
    tightenings = "tightening" if times == 1 else "tightenings"
    return f"{times} {tightenings} cannot be: write 0 for new bolts, or how often they were tightened."


TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    R: {
        R.ARRANGED_SO_ALREADY: "{name} is {count} already.",
        R.ASKS_NO_READING: "{line} asks for no reading; mark it instead.",
        R.AT_LINE: "{line}: {matter}",
        R.AT_PLACE: "{line} {place}: {matter}",
        R.BOLT_TOO_LONG: "A bolt measures more than 0 and at most {most} mm, not “{text}”: measure it again.",
        R.BOLT_UNREADABLE: "What the bolt measures: {matter}",
        R.BOXES_OPEN: _boxes_open,
        R.CAM_ANGLES_MISSING: _cam_angles_missing,
        R.CAM_UNREADABLE: "The cam's events: {matter}",
        R.CANNOT_BE_WATCHED: "“{condition}” cannot be watched: {matter}",
        R.CHOSEN_ALREADY: "Option “{option}” is {choice} already.",
        R.CLEARED_BEFORE_EARLIER: "{line} cannot be cleared before {before}: that line comes earlier.",
        R.DOES_NOT_KEEP_SHUT: "{line} does not keep “{gate}” shut; there is nothing to concede.",
        R.EARLIER_GATE_SHUT: "“{gate}” cannot be passed while “{earlier}” in front of it is shut.",
        R.FASTENERS_NO_PLACE: "{fasteners} has no “{place}”; it has {known}.",
        R.GATE_PASSED: "“{gate}” was passed on {at} by {by}.",
        R.GATE_SHUT: "“{gate}” is shut, held by {lines}: close each one, or write for each why you go on without it.",
        R.HAS_NO_BOLTS: "{line} tightens no bolts.",
        R.HOLD_IS_NEEDED: (
            "{line} is a hold: it opens by its evidence, or by a written decision to go on anyway; Not "
            "needed does not open it."
        ),
        R.HOLE_OPENS_TO_NOTHING_SUCH: "“{text}” is nothing a hole opens to; it is one of {known}.",
        R.INITIALS_NEEDED: "Say who: initials are needed, for example --by AB.",
        R.IS_DONE_NOT_TIGHTENED: (
            "{line} is Done; slacken the joint, or mark the line Look again, before it is tightened."
        ),
        R.LAST_PASS_DONE: "{line} {place} has had its last pass; slacken it first to tighten it again.",
        R.LATER_BEFORE_WHAT: "{line} Later needs the line it must come before.",
        R.LEVER_UNREADABLE: "{tool}, lever: {matter}",
        R.MARGIN_OUT_OF_RANGE: (
            "The margin is 0 to 120 crank degrees: 20 to 30 are usual for the ramp that takes up the lash."
        ),
        R.MARKED_SO_ALREADY: "{line} is {state} already; to change that, mark it something else first.",
        R.NECK_TOO_THICK: "The thinnest place, “{neck}”, cannot be thicker than where it is free, “{free}”.",
        R.NECK_TWO_DIAMETERS: (
            "A neck is told by two diameters: give the thread where it was free and where it is thinnest."
        ),
        R.NOTHING_SO_WARM: "{line} {place}: nothing is measured at {temperature}; look at the figure and its unit.",
        R.NOTHING_SUCH_ARRANGED: "The arrangement has no “{name}” to change; it has {known}.",
        R.NOTHING_TO_CONCEDE: "{line} is {state}: there is nothing to go on without.",
        R.NOTHING_TO_OPEN: "{line} is {state}, so there is nothing of it to open; say it without --line.",
        R.NOTHING_TO_REDO: "There is nothing to redo.",
        R.NOTHING_TO_SLACKEN: "Nothing of {line} is tightened yet, so there is nothing to slacken.",
        R.NOTHING_TO_UNDO: "There is nothing to undo.",
        R.NOTHING_TO_WATCH: (
            "“{text}” is nothing that can be watched; write for example event:cam-changed, line:4.07, "
            "option:lifters, distance:500 miles, hours:20 h, cycles:1 or date:2026-05-01."
        ),
        R.NOT_ALL_CAME_OUT: (
            "{went_in} × {name} went in and {came_out} came out: find the rest before it counts as out."
        ),
        R.NOT_BEGUN: "{line} has not been begun, so there is nothing to look at again.",
        R.NO_ANSWER_OF_OPTION: "Option “{option}” cannot be “{answer}”; it is one of {known}.",
        R.NO_BOXES: "{line} has no boxes for places; mark the line itself.",
        R.NO_CHOICE: "{line}: “{text}” is none of {known}.",
        R.NO_COUNT_ARRANGED: "{name}: “{text}” is not a count from 0 to 16.",
        R.NO_COUNT_OF_THINGS: "{name}: the count must be 1 to 1000, not {count}.",
        R.NO_COUNT_OF_USES: "{tool}: {count} is no count of uses since the check.",
        R.NO_DATE: "“{text}” is not a date to wait for; write it as date:2026-03-14.",
        R.NO_DOUBT_OF_A_GAUGE: "{tool}: “{doubt}” is no doubt of a gauge; write it such as ± 0.01 mm.",
        R.NO_EVENT: _or_none("The plan knows no event “{event}”; it has {known}."),
        R.NO_FASTENERS: _or_none("There are no fasteners “{fasteners}”; there are {known}."),
        R.NO_FIGURE_TO_CHOOSE: _or_none("{line} has no figure “{candidate}” to choose; it has {known}."),
        R.NO_FIGURE_TO_ENTER: "{line} has no figure to enter.",
        R.NO_FIGURE_TO_OFFER_FOR: "{line} has no figure to offer one for.",
        R.NO_FINDING: _or_none("There is no finding “{finding}”; there is {known}."),
        R.NO_GATE: "There is no gate “{gate}”; there are {known}.",
        R.NO_HOLE: "“{group}” has no hole “{place}”; it has {known}.",
        R.NO_HOLES: _or_none("There are no holes “{group}”; there are {known}."),
        R.NO_INITIALS: "“{text}” is not a set of initials; use a few letters.",
        R.NO_LEVER: "{tool}, lever: {lever} is no length; measure from the drive to where it is held.",
        R.NO_LINE: "There is no line “{line}” in this build; its lines run from {first} to {last}.",
        R.NO_LINE_TO_WATCH: "There is no line “{line}” to watch.",
        R.NO_MARK_TO_TAKE_AWAY: "{line} has no mark to take away.",
        R.NO_OPTION: _or_none("The plan has no option “{option}”; it has {known}."),
        R.NO_PART: "No line of this build needs a part “{part}”.",
        R.NO_PLACE: _or_none("{line} has no place “{place}”; it is for {known}.", "no place"),
        R.NO_READING_NOT_DONE: "{line} cannot be Done without its reading: write the value at {places}.",
        R.NO_ROUND: _no_round,
        R.NO_SORT_OF_TOOL: "“{sort}” is no kind of tool here; it is one of {known}.",
        R.NO_STATE_OF_A_PLACE: "A place can be To do, Started or Done; for {state} mark the whole line.",
        R.NO_TOOL: _or_none("There is no tool “{tool}”; there is {known}."),
        R.NO_TORQUE_OF_AN_ENGINE: (
            "{line} {place}: {torque} is no torque for a bolt of an engine; look at the unit, and at "
            "where the point stands."
        ),
        R.NO_VALUE_TO_RUB_OUT: "{line} {place} has no value to rub out.",
        R.OLDER_THAN_THE_MARK: (
            "{line} was marked {state} on {marked}; {at} is older than that. Give a later time, or look "
            "at this computer's clock."
        ),
        R.ORDER_NAMES_EACH_ONCE: (
            "{line}: the order must name every bolt once; “{wrong}” is one too many or left out. The bolts are {bolts}."
        ),
        R.OUT_OF_LIMITS: (
            "{line} is out of limits ({values}): read it again when it is put right, mark it Stopped, or "
            "decide in writing to go on."
        ),
        R.PASSES_FALL: "{line}, passes: {after} is not more than {before} before it: look the figures up again.",
        R.PASSES_UNREADABLE: "{line}, passes: {matter}",
        R.PUT_OFF_BEFORE_EARLIER: "{line} cannot be put off to before {before}: that line comes earlier.",
        R.PUT_OFF_PAST_GATE: "{line} keeps “{gate}” shut and cannot be put off past it; choose a line up to {last}.",
        R.ROWS_DO_NOT_ADD_UP: _rows_do_not_add_up,
        R.RUN_OF_NOTHING: "A run needs hours, a distance or heat cycles, none of them less than 0.",
        R.SAY_THE_FIGURE: "Say the figure as printed.",
        R.SAY_WHAT_IS_DECIDED: "{finding}: say what is decided, for example rework or use as is.",
        R.SAY_WHAT_IS_TO_BE_DONE: "Say what is to be done.",
        R.SAY_WHAT_IT_IS: "Say what it is.",
        R.SAY_WHAT_THE_TOOL_IS: "Say what the tool is.",
        R.SAY_WHAT_THE_TOOL_IS_CALLED: "Say what the tool is called.",
        R.SAY_WHAT_WAS_FOUND: "Say what was found.",
        R.SAY_WHAT_WAS_OPENED: "Say what was opened.",
        R.SAY_WHERE_FIGURE_IS_FROM: "{line}: say where the figure is from, for example the manual and its edition.",
        R.SAY_WHERE_IT_IS: "Say where it is.",
        R.SAY_WHERE_IT_IS_FROM: "Say where it is from.",
        R.SAY_WHY_DECIDED_SO: "Say why it is decided so.",
        R.SAY_WHY_GOING_ON: "{line}: going on anyway needs a written reason.",
        R.SAY_WHY_MARKED: "{line} {state} needs a why.",
        R.SAY_WHY_SLACKENED: "{line}: say why the joint is slackened.",
        R.SAY_WHY_THIS_ONE: "Say why this one.",
        R.SECOND_LOOK_AFTER_DONE: "{line} is {state}: a second look comes after it is Done.",
        R.SECOND_LOOK_BY_ANOTHER: (
            "{line} was signed by {by} on {at}: the second look is another person's, or yours in a later session."
        ),
        R.NO_SINGLE_FIGURE: "{line} has no single figure a width could be said of; limits say it themselves.",
        R.NO_SUCH_UNITS: _or_none("“{text}” is no system of units; there are {known}."),
        R.SECOND_LOOK_READS_ALL: "{line}: the second look reads every place anew; {place} has no value.",
        R.SETS_NO_LASH: "{line} sets no lash.",
        R.SHARES_RISE: "{line}, passes: shares rise and end at the whole figure, such as 70 %, 100 %.",
        R.STRETCH_UNREADABLE: "{line}, stretch: {matter}",
        R.SYMPTOM_NOT_USED_AS_IS: (
            "{finding} is a symptom: it is explained or mended, by evidence, or gone on with in a concession."
        ),
        R.TEXT_TOO_LONG: "That text is {letters} letters long; {most} is the most that is kept.",
        R.TEXT_UNSOUND: "That text holds signs that are no letters, so it could not be read again; type it anew.",
        R.THINNER_BLADE_FIRST: (
            "{line}: the blade that goes is the thinner one; write it first, then the one that does not."
        ),
        R.TICKED_SO_ALREADY: "{line} {place} is {state} already.",
        R.TIGHTENINGS_CANNOT_BE: _tightenings_cannot_be,
        R.TIGHTENS_NOTHING: "{line} tightens no bolts; mark it instead.",
        R.TOLD_BY_A_SUM: "{matter}",
        R.TORQUE_AND_STRETCH_BOTH: (
            "{line} {place} is judged by torque and stretch: write both, for example 85 N·m and 0.52 mm."
        ),
        R.TWO_SIDED_FIGURES: (
            "{line}: torque and stretch are judged together only where both have a lowest and a highest figure."
        ),
        R.WHICH_COMES_OUT: _or_none("“{item}” does not say which thing comes out; in are: {known}.", "nothing"),
        R.WRITE_A_VALUE: "{line} {place}: write a value.",
        R.WRITE_THE_ANGLE: "{line} {place}: write the angle it was turned by; this line keeps a value for each bolt.",
        R.WRITE_THE_TORQUE: "{line} {place}: write the torque it came to; this line keeps a value for each bolt.",
        R.WRITTEN_OVER_SINCE: "“{deed}” cannot be changed back: something has been written over it since.",
    },
}
