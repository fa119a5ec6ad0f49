"""Loose ends in English: why each is one, what happens if nobody sees to it, and what clears it."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum
from typing import Any

from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.phrase import Phrase
from app.assembly.standing.ends import End, Outcome, Shutting
from app.trade.agree import ThreadFault
from app.trade.conditions import Aspect
from app.trade.envelope import Slip
from app.words.say import Sentence, filled, told
from app.words.times import day, moment, moment_of_year


def _bare(text: str) -> str:
    return text.rstrip(".")


def _bolt_not_new(title: str, count: int) -> str:
    one = count == 1
    return f"{title} {'is' if one else 'are'} used once, and nobody wrote that {'this is' if one else 'these are'} new"


def _clock_ahead(at: datetime) -> str:
    return f"Signed for {moment_of_year(at)}, which is still to come"


def _concession_open(gate: str, by: str, text: str) -> str:
    at = f" at “{gate}”" if gate else ""
    return f"Went on in writing{at}, {by}: {text}"


def _count_reached(title: str, times: int, limit: int) -> str:
    tightened = "once" if times == 1 else f"{times} times"
    return f"{title}: tightened {tightened}, {limit} is the most they stand"


def _decision_reopened(key: str, decision: Disposition, condition: str, what: str, watch: str) -> str:
    watched = f" Watch: {watch}." if watch else ""
    return f"{key} ({decision.value}) was to be decided again at {condition}: {what}.{watched}"


def _figure_came_later(keys: tuple[str, ...]) -> str:
    return f"{', '.join(keys)} came after the figure in force was chosen"


def _finding_open(key: str, what: str, measured: str) -> str:
    return f"Found {key}, not decided: {what}{_measured(measured)}"


def _symptom_open(key: str, what: str, measured: str) -> str:
    return f"Symptom {key}, not decided: {what}{_measured(measured)}"


def _measured(measured: str) -> str:
    return f", measured {measured}" if measured else ""


def _follow_up_due(after: str) -> str:
    return f"Due after {after}, and that has run"


def _long_pause(state: State, days: int) -> str:
    return f"{told(state)}, and nobody has worked on it for {days} {'day' if days == 1 else 'days'}"


def _look_again(why: str | Phrase) -> str:
    return f"Was Done. {told(why)}" if why else "Was Done, then doubted"


def _not_primed(number: str, state: State, written: bool) -> str:
    return f"Oil is not primed: {number} is {told(state)}{'' if written else ', and no pressure is written'}"


def _open_time_over(other: str, within: str, because: str) -> str:
    return f"Was to follow {other} within {within}{f' ({because})' if because else ''}; that is over"


def _opened_not_closed(place: str, what: str) -> str:
    return f"Opened and not closed again{f', {place}' if place else ''}: {what}"


def _put_off(before: str, why: str, meanwhile: str) -> str:
    return f"Later, before {before}: {why}{f' (meanwhile {meanwhile})' if meanwhile else ''}"


def _reading_missing(old: tuple[str, ...], never: tuple[str, ...]) -> str:
    words = [f"Read before it was disturbed: {', '.join(old)}"] if old else []
    return "; ".join([*words, f"No value yet at {', '.join(never)}"] if never else words)


def _reading_out(values: tuple[str, ...], wanted: str) -> str:
    return f"Out: {', '.join(values)}; wanted {wanted or 'another answer'}"


_SLIPS = {
    Slip.TENFOLD: "ten times too large",
    Slip.TENTH: "ten times too small",
    Slip.HUNDREDFOLD: "a hundred times too large",
    Slip.HUNDREDTH: "a hundred times too small",
    Slip.UNIT: "in another unit",
}


def _size_outside(
    place: str, text: str, low: str, high: str, slips: tuple[Slip, ...] = (), sizes: tuple[str, ...] = ()
) -> str:
    """A size its kind of line never has, and what was likely meant."""
    what = f"{place} {text}".strip()
    meant = " or ".join(f"{size} ({_SLIPS[slip]})" for slip, size in zip(slips[:2], sizes[:2], strict=True))
    asked = f"; {meant} may be meant" if meant else ""
    return f"{what} is no size for this on any engine, which is {low} to {high}{asked}"


def _size_unlike(place: str, text: str, middle: str, times: float | None = None) -> str:
    how = "far from"
    if times is not None and times >= 2:
        how = f"{times:.0f} times"
    elif times is not None and times <= 0.5:
        how = f"{1 / times:.0f} times less than"
    return f"{place}: {text} is {how} the others, {middle}"


_HOW_THREADS = {
    ThreadFault.HAND: "one is left-handed",
    ThreadFault.GOES_IN: "it starts by hand, and then binds or strips",
    ThreadFault.OTHER: "it is another thread",
}


def _hole_other_thread(hole: str, thread: str, bolt: str, how: ThreadFault) -> str:
    return f"{hole} is {thread}, and the bolts are {bolt}: {_HOW_THREADS[how]}"


def _of(of: tuple[Aspect, ...]) -> str:
    return " and ".join(_ASPECTS[one] for one in of)


_ASPECTS = {
    Aspect.HEAT: "how warm it was",
    Aspect.THREADS: "what was on the threads",
    Aspect.SPEED: "at what speed",
    Aspect.METHOD: "by what method",
    Aspect.TIER: "whether the part is new or worn",
    Aspect.REFERENCE: "what it is counted from",
    Aspect.HEIGHT: "at what height",
}


def _method_differs(wanted: str, text: str, of: tuple[Aspect, ...]) -> str:
    return f"Not judged: {text} was read otherwise than “{wanted}” is meant, in {_of(of)}"


def _method_unsaid(wanted: str, text: str, of: tuple[Aspect, ...]) -> str:
    return f"Cannot decide: “{wanted}” is judged only once it is said {_of(of)}; {text} does not say"


def _reading_undecided(place: str, text: str, doubt: str, wanted: str) -> str:
    return f"Cannot decide: {place} {text}{f' ± {doubt}' if doubt else ''} may lie on either side of “{wanted}”"


def _stud_refused(place: str, verdict: Phrase | None) -> str:
    return f"{place}: {_bare(told(verdict))}"


def _temporary_in(words: str, since: str, key: str) -> str:
    return f"Still in: {words}{_put_in(since, key)}"


def _temporary_lost(words: str, since: str, key: str) -> str:
    return f"Lost: {words}{_put_in(since, key)}"


def _put_in(since: str, key: str) -> str:
    return f", since {since}" if since else f" ({key})"


def _tool_doubtful(text: str, tool: str, checked: datetime | None) -> str:
    return f"{text} read with {tool}, {f'last checked {day(checked)}' if checked else 'never checked'}"


def _trial(part: str, count: int, **_: object) -> str:
    return f"{part} {'is' if count == 1 else 'are'} on for a look only, not sealed, not final"


def _trial_clears(ways: tuple[str, ...] = (), **_: object) -> str:
    return f"Take it off or fit it for good: {' or '.join(ways)}" if ways else "Take it off, or fit it for good"


WHY: dict[End, Sentence] = {
    End.ADAPTER_ANGLE_ONLY: "An adapter's angle is written without its length",
    End.ADAPTER_UNMEASURED: _bare,
    End.ANGLE_FIRST: "Turned by angle without the torque of {last} first: {places}",
    End.BOLT_NOT_NEW: _bolt_not_new,
    End.BOLT_UNMEASURED: _bare,
    End.BOLT_WORN: _bare,
    End.CLOCK_AHEAD: _clock_ahead,
    End.CONCESSION_OPEN: _concession_open,
    End.COUNT_REACHED: _count_reached,
    End.DECISION_REOPENED: _decision_reopened,
    End.ENGAGEMENT_SHORT: (
        "{have_mm:.1f} mm of thread engaged, and the bolt breaks first only from {needed_mm:.1f} mm on"
    ),
    End.FIGURES_DISAGREE: (
        "{first} “{first_text}” ({first_source}) and {second} “{second_text}” ({second_source}) disagree"
    ),
    End.FIGURE_CAME_LATER: _figure_came_later,
    End.FIGURE_CHOSEN_WEAK: "“{text}” is {trust}, chosen over the printed “{printed}” ({source})",
    End.FIGURE_CONTRADICTS: "{key} “{text}” contradicts itself: {fault}",
    End.FINDING_OPEN: _finding_open,
    End.FOLLOW_UP_DUE: _follow_up_due,
    End.GAP_PER_INCH: _bare,
    End.GATE_LINE_OPEN: "{state}, and work has gone on past “{gate}”",
    End.GAUGE_COARSE: "{tool} is in doubt by ± {doubt}, and that fills the limits",
    End.HEAT_FIGURE: "The figure speaks of a {other} engine, and {number} is read {heat}",
    End.HEAT_READ: "{number} is for a {heat} engine, and {text} was read at {celsius:g} °C",
    End.HOLD_OPEN: "Hold, {state}: nothing after it can be signed off",
    End.HOLE_OPEN: "{count} of {title} not closed, and {hiding} hides them",
    End.HOLE_OTHER_THREAD: _hole_other_thread,
    End.HOLE_SHALLOW: "{hole} is {depth} deep, and the bolts reach {reach} in: they bottom before they clamp",
    End.HOLE_UNSEALED: "No sealant in {places}, open or not known to be blind",
    End.LASH_ALONE: "Since {first} {moved} on its own",
    End.LATER_PAST: "Put off to before {before}, and that is {state}",
    End.LATER_POSSIBLE: "Put off because {why}; what it waited for is here",
    End.LONG_PAUSE: _long_pause,
    End.LOOK_AGAIN: _look_again,
    End.MOVED_BY: "{place} moved {change_mm:+.2f} mm",
    End.NOT_PRIMED: _not_primed,
    End.METHOD_DIFFERS: _method_differs,
    End.METHOD_UNSAID: _method_unsaid,
    End.NO_LIMITS: "Cannot decide: “{wanted}” is a single figure, and nobody said how far from it is still right",
    End.OPENED_NOT_CLOSED: _opened_not_closed,
    End.OPEN_TIME_OVER: _open_time_over,
    End.OVER_PROOF: "{reached_kn:.1f} kN with a middling friction is over the {proof_kn:.1f} kN proof load",
    End.PASSED_OVER: "{state}, while lines after it are Done",
    End.PASS_OPEN: "The bolts were begun and not brought to their last pass; {first} is the next",
    End.PRESSURE_OVER: (
        "{pressure_mpa:.0f} MPa under the head with a middling friction, and {limit_mpa:g} MPa is the most"
    ),
    End.PUT_OFF: _put_off,
    End.READING_MISSING: _reading_missing,
    End.READING_OUT: _reading_out,
    End.READING_UNDECIDED: _reading_undecided,
    End.RESULT_PART_CHANGED: "{part} was changed after this was measured",
    End.RESULT_READ_AGAIN: "{other} was read again ({text}), and this was worked out before",
    End.ROUNDS_MOVED: "Moved between rounds: {place} read {early}, then {late}",
    End.SECOND_LOOK_MISSING: "Signed by {by}, no second look yet",
    End.SIZE_OF_PART: "{place}: {text} is more than any part of {middle} can have",
    End.SIZE_OUTSIDE: _size_outside,
    End.SIZE_UNLIKE: _size_unlike,
    End.SOURCE_MISSING: "“{figure}” has no source",
    End.SPEC_EMPTY: "No figure to hold it against: the maker's has to be entered",
    End.STANDING_IN: "{other} only holds its place: {do}",
    End.STOPPED: "Stopped: {why}",
    End.STUD_REFUSED: _stud_refused,
    End.SYMPTOM_OPEN: _symptom_open,
    End.TEMPORARY_IN: _temporary_in,
    End.TEMPORARY_LOST: _temporary_lost,
    End.TEMPORARY_SAID_IN: _temporary_in,
    End.THREADS_DIFFER: "The figure is written for {written} threads, and here they are {used}",
    End.TOOL_DOUBTFUL: _tool_doubtful,
    End.TOOL_OUTSIDE: "{text} read with {tool}, which reads {span} only",
    End.TOOL_UNKNOWN: "{text} read with “{tool}”, which is not among the tools",
    End.TRIAL_ONLY: _trial,
    End.TRIAL_SAID: _trial,
    End.UNIT_NOT_ON_WRENCH: "{torque} is noted, and {wrench} does not read in that unit",
    End.WITHIN_WORN: (
        "Cannot decide: {place} {text} is over what a new part has and within the limit of a worn one ({worn})"
    ),
    End.WRENCH_UNFIT: _bare,
}
HARM: dict[End, str] = {
    End.ADAPTER_ANGLE_ONLY: "the bolt gets more or less than the wrench says, by as much as the adapter is long",
    End.ADAPTER_UNMEASURED: "the bolt gets more or less than the wrench says, by as much as the adapter is long",
    End.ANGLE_FIRST: "an angle counts from the torque before it; from nowhere it is any load at all",
    End.BOLT_NOT_NEW: "a bolt that was stretched before lets go",
    End.BOLT_UNMEASURED: "a bolt that has necked or grown lets go",
    End.BOLT_WORN: "a bolt that has necked or grown lets go",
    End.CLOCK_AHEAD: "waits and cures are counted from a time that never was",
    End.CONCESSION_OPEN: "what was taken on knowingly is forgotten",
    End.COUNT_REACHED: "a bolt at its limit lets go",
    End.DECISION_REOPENED: "it was right then and is not known to be now",
    End.ENGAGEMENT_SHORT: "the thread comes out of the casting, and takes the casting with it",
    End.FIGURES_DISAGREE: "it is set to the wrong figure, and everybody believes it",
    End.FIGURE_CAME_LATER: "it is set to the wrong figure, and everybody believes it",
    End.FIGURE_CHOSEN_WEAK: "it is set to the wrong figure, and everybody believes it",
    End.FIGURE_CONTRADICTS: "it is set to the wrong figure, and everybody believes it",
    End.FINDING_OPEN: "what was noticed and passed ruins the engine later",
    End.FOLLOW_UP_DUE: "what settles in the first miles is never set again",
    End.GAP_PER_INCH: "the ring ends meet when hot, and the piston is torn up",
    End.GATE_LINE_OPEN: "the gate was meant to catch it",
    End.GAUGE_COARSE: "a part is called good, or bad, by a gauge that cannot tell",
    End.HEAT_FIGURE: "valves set by the wrong figure burn, or clatter their faces away",
    End.HEAT_READ: "valves set by the wrong figure burn, or clatter their faces away",
    End.HOLD_OPEN: "it can't be checked later",
    End.HOLE_OPEN: "oil or coolant finds the hole nobody sees",
    End.HOLE_OTHER_THREAD: "the thread pulls, and the joint lets go",
    End.HOLE_SHALLOW: "the bolt feels tight and clamps nothing, or cracks the casting",
    End.HOLE_UNSEALED: "oil or coolant weeps along the thread, and only a strip cures it",
    End.LASH_ALONE: "a seat sinks, a lobe wears or a nut turns, and it goes on",
    End.LATER_PAST: "it was to be done by now",
    End.LATER_POSSIBLE: "it is forgotten although it could be done",
    End.LONG_PAUSE: "torque is guessed from memory, rust is scraped by the rings",
    End.LOOK_AGAIN: "its result is no longer known",
    End.NOT_PRIMED: "bearings and lobes are gone in seconds",
    End.METHOD_DIFFERS: "nobody can say whether it is right",
    End.METHOD_UNSAID: "nobody can say whether it is right",
    End.NO_LIMITS: "nobody can say whether it is right",
    End.OPENED_NOT_CLOSED: "what was opened is run open, loose or dirty",
    End.OPEN_TIME_OVER: "what was put on is no longer good",
    End.OVER_PROOF: "the bolt is stretched for good, and lets go later",
    End.PASSED_OVER: "nobody knows whether it was done",
    End.PASS_OPEN: "nobody knows which bolt is at which pass",
    End.PRESSURE_OVER: "the head sinks in, and the bolt is loose after the first heat",
    End.PUT_OFF: "what is put off is forgotten",
    End.READING_MISSING: "the place nobody read is the one that was wrong",
    End.READING_OUT: "it runs outside what it was made for",
    End.READING_UNDECIDED: "nobody can say whether it is right",
    End.RESULT_PART_CHANGED: "the figure in the record is of an engine that is not this one any more",
    End.RESULT_READ_AGAIN: "the figure in the record is of an engine that is not this one any more",
    End.ROUNDS_MOVED: "what moves while it is turned moves further while it runs",
    End.SECOND_LOOK_MISSING: "the same slip is made twice by the same eyes",
    End.SIZE_OF_PART: "a slip of the pen stands in the record as if it were measured",
    End.SIZE_OUTSIDE: "a slip of the pen stands in the record as if it were so",
    End.SIZE_UNLIKE: "a slip of the pen, or one part unlike the others, goes in unseen",
    End.SOURCE_MISSING: "a figure from nowhere may be for another engine, unit or lubricant",
    End.SPEC_EMPTY: "it is set to a guess",
    End.STANDING_IN: "the stand-in is run as the real thing",
    End.STOPPED: "what is out of limits or broken is built in",
    End.STUD_REFUSED: "a stud past its stretch is on its way to breaking",
    End.SYMPTOM_OPEN: "what was noticed and passed ruins the engine later",
    End.TEMPORARY_IN: "left in, it blocks oil, or a moving part meets it",
    End.TEMPORARY_LOST: "left in, it blocks oil, or a moving part meets it",
    End.TEMPORARY_SAID_IN: "left in, it blocks oil, or a moving part meets it",
    End.THREADS_DIFFER: "the same torque pulls far harder on slippery threads, or hardly at all on rough ones",
    End.TOOL_DOUBTFUL: "the wrench was wrong, and so is every bolt it set",
    End.TOOL_OUTSIDE: "the wrench was wrong, and so is every bolt it set",
    End.TOOL_UNKNOWN: "the wrench was wrong, and so is every bolt it set",
    End.TRIAL_ONLY: "a trial fit looks finished and is run as one",
    End.TRIAL_SAID: "a trial fit looks finished and is run as one",
    End.UNIT_NOT_ON_WRENCH: (
        "a number read off one scale and written under another is wrong by a third or by twelve times"
    ),
    End.WITHIN_WORN: "a worn part is run as if it were new",
    End.WRENCH_UNFIT: "the wrench promises nothing there, and every bolt is as wrong as it is",
}
CLEARS: dict[End, Sentence] = {
    End.ADAPTER_ANGLE_ONLY: "Measure adapter and lever and write them at the bolts of {number} (T)",
    End.ADAPTER_UNMEASURED: "Measure adapter and lever and write them at the bolts of {number} (T)",
    End.ANGLE_FIRST: "Slacken the joint fully and begin again at {first}",
    End.BOLT_NOT_NEW: "Write a count of 0 for new bolts under Records, Tightenings; fit new ones where they are not",
    End.BOLT_UNMEASURED: "Measure them, under Records, Tightenings",
    End.BOLT_WORN: "Fit new ones and write their count as 0",
    End.CLOCK_AHEAD: "Set this computer's clock, or mark {number} To do and then again with the right time",
    End.CONCESSION_OPEN: "Close {number} after all",
    End.COUNT_REACHED: "Fit new ones, write their count as 0, and do {number} again",
    End.DECISION_REOPENED: "Look at it, and decide {key} anew",
    End.ENGAGEMENT_SHORT: (
        "Take a longer bolt or an insert at {number} and write its depth, or decide in writing to go on"
    ),
    End.FIGURES_DISAGREE: "Compare the figures of {number}, choose one and write why",
    End.FIGURE_CAME_LATER: "Compare the figures of {number}, choose one and write why",
    End.FIGURE_CHOSEN_WEAK: "Compare the figures of {number}, choose one and write why",
    End.FIGURE_CONTRADICTS: "Compare the figures of {number}, choose one and write why",
    End.FINDING_OPEN: "Decide {key}: rework, repair, use as is, concession or scrap, and why",
    End.FOLLOW_UP_DUE: "Do {number} now",
    End.GAP_PER_INCH: "Work the gap of {number} out from the bore, file, and read again",
    End.GATE_LINE_OPEN: "Close {number} by its evidence, or by a written concession",
    End.GAUGE_COARSE: "Read {number} with a gauge at least four times finer than its limits are wide",
    End.HEAT_FIGURE: "Enter the figure for that heat, or let it come to its own and read {number} again",
    End.HEAT_READ: "Enter the figure for that heat, or let it come to its own and read {number} again",
    End.HOLD_OPEN: "Mark {number} Done with what it asks for, or go on anyway in writing",
    End.HOLE_OPEN: "Close each and tick it at {number}; count out must equal count in",
    End.HOLE_OTHER_THREAD: "Put the hole or the bolt of {number} right, where it was written or where it is",
    End.HOLE_SHALLOW: "Take a shorter bolt at {number}, deepen the hole, or put right what was written",
    End.HOLE_UNSEALED: "Seal them and mark {number} Done, or find them blind",
    End.LASH_ALONE: "Look at the valve, its adjuster and its lobe, and read {last} again",
    End.LATER_PAST: "Do {number} now, and look at what {before} covered",
    End.LATER_POSSIBLE: "Do {number} now",
    End.LONG_PAUSE: "Do {number} again from its beginning, or mark it Done anew",
    End.LOOK_AGAIN: "Look at {number} again, write what it asks for, mark it Done",
    End.NOT_PRIMED: "Drive the pump, write the pressure at {number} and mark it Done",
    End.METHOD_DIFFERS: "Read {number} again as the figure is meant, or enter the figure for how it was read",
    End.METHOD_UNSAID: "Say how {number} is read (`under`, or F in the window), or write it behind the value",
    End.NO_LIMITS: "Say the width of the figure of {number} (`width`, or F in the window), or enter its limits",
    End.OPENED_NOT_CLOSED: "Close it, tighten it to its figure, mark {number} Done",
    End.OPEN_TIME_OVER: "Do {other} again, then {number} in time; if it was in time, say so in writing",
    End.OVER_PROOF: "Look at the figure, thread and strength of {number} again (P, then D), or decide in writing",
    End.PASSED_OVER: "Do {number}, put it off, or write why it is not needed",
    End.PASS_OPEN: "Go on at {first}, or slacken all and begin again",
    End.PRESSURE_OVER: "Put a wide hard washer at {number} and write its face, or decide in writing to go on",
    End.PUT_OFF: "Do {number} before {before}",
    End.READING_MISSING: "Read {number} at each place",
    End.READING_OUT: "Put it right and read {number} again, or decide in writing to use it as it is",
    End.READING_UNDECIDED: "Read {number} with a finer gauge, bring it further inside, or decide in writing to go on",
    End.RESULT_PART_CHANGED: "Look at {number} again: mark it so, and sign it off with what is true now",
    End.RESULT_READ_AGAIN: "Look at {number} again: mark it so, and sign it off with what is true now",
    End.ROUNDS_MOVED: "Find out why, set it again, and read {number} once more over all rounds",
    End.SECOND_LOOK_MISSING: "Somebody else looks at {number}, or you in a later session, first reading hidden",
    End.SIZE_OF_PART: "Read {number} again there, or say in writing that it is so",
    End.SIZE_OUTSIDE: "Write {number} as it is meant, or say in writing that it is so",
    End.SIZE_UNLIKE: "Read {number} again there, or say in writing that it is so",
    End.SOURCE_MISSING: "Enter the figure of {number} again and say where it is from",
    End.SPEC_EMPTY: "Enter the figure of {number} with its source",
    End.STANDING_IN: "Do {target} for good",
    End.STOPPED: "Mend it and mark {number} Done, or decide in writing to go on",
    End.STUD_REFUSED: "Slacken the group of {number}, put it right, and tighten it again",
    End.SYMPTOM_OPEN: "Find its cause and decide {key} by that evidence, or go on in a written concession",
    End.TEMPORARY_IN: "Take it out, count it, mark {number} Done",
    End.TEMPORARY_LOST: "Find it and say so ({key}); until then nothing is started",
    End.TEMPORARY_SAID_IN: "Take it out, count it, and say so ({key})",
    End.THREADS_DIFFER: (
        "Enter the maker's figure for {used} threads, clean them as it says, or decide in writing to go on"
    ),
    End.TOOL_DOUBTFUL: "Have the tool checked and write the date, or read again with one that is in check and fits",
    End.TOOL_OUTSIDE: "Have the tool checked and write the date, or read again with one that is in check and fits",
    End.TOOL_UNKNOWN: "Have the tool checked and write the date, or read again with one that is in check and fits",
    End.TRIAL_ONLY: _trial_clears,
    End.TRIAL_SAID: "Take it off, or fit it for good, and say so ({key})",
    End.UNIT_NOT_ON_WRENCH: "Write at {number} what the scale itself said, with its unit",
    End.WITHIN_WORN: "Decide in writing to use the part as it is, or replace it and read {number} again",
    End.WRENCH_UNFIT: "Take another wrench for {number}, or have this one checked and write the date",
}


def _kind(end: Phrase) -> End:
    assert isinstance(end.kind, End)  # outcomes are of loose ends
    return end.kind


def _harm(end: Phrase) -> str:
    return HARM[_kind(end)]


def _clears(end: Phrase, number: str) -> str:
    return filled(CLEARS[_kind(end)], {**end.args, "number": number})


def _as_planned(text: str) -> str:
    """The plan's own words, as part of a sentence."""
    words = text.rstrip(". ")
    return words[:1].lower() + words[1:] if words[1:2].islower() or words[1:2] == " " else words


def _open(state: State, hold: bool, until: datetime | None) -> str:
    waits = f", waits until {moment(until)}" if until is not None else ""
    return f"{'Hold, ' if hold else ''}{told(state)}{waits}"


TABLES: Mapping[type[Enum], Mapping[Any, Sentence]] = {
    End: WHY,
    Outcome: {Outcome.HARM: _harm, Outcome.CLEARS: _clears, Outcome.AS_PLANNED: _as_planned},
    Shutting: {Shutting.OPEN: _open, Shutting.DO_IT: "Do {number} and mark it Done"},
}

# What each rule is called, and why anybody should care.
RULES: dict[str, tuple[str, str]] = {
    "adapter-unmeasured": ("Adapter without its length", "50 mm on a 420 mm lever is 12 % more at the bolt."),
    "angle-first": ("Angle without its torque", "Torque first, then angles, each stage on every bolt."),
    "bolt-not-new": ("Not known to be new", "A bolt that is used once looks the same the second time."),
    "bolt-worn": ("Not fit to be used again", "A bolt that has grown or necked has given what it had."),
    "clock-ahead": ("Clock", "A cure counted from a wrong clock is not a cure."),
    "concession-open": ("Concession open", "Going on was a decision; the thing itself is still not done."),
    "count-reached": ("Tightened too often", "Trials and the machine shop's tightenings count too."),
    "decision-reopened": (
        "Decision to be taken again",
        "It was decided for as long as nothing changed, and that has changed.",
    ),
    "engagement-short": ("Thread engaged too short", "A stripped casting costs more than a broken bolt."),
    "figures-disagree": ("Figures disagree", "Manuals have editions, misprints and other lubricants in mind."),
    "finding-open": ("Found, not decided", "A noise, no resistance, a wrench that felt wrong: noticed, and passed."),
    "follow-up-due": ("Follow-up due", "Gaskets settle, valves bed, oil carries the debris of the first hours."),
    "gap-per-inch": ("Gap per inch read as a gap", "Ring makers print a share of the bore, and it looks like a gap."),
    "gate-line-open": ("Gate line open", "Behind a gate there is no way back to look."),
    "gauge-coarse": ("Gauge too coarse", "With a doubt of half the band or more no reading can conform (ISO 14253-1)."),
    "heat-differs": ("Cold figure, hot engine", "Cold or hot is part of a figure; neither follows from the other."),
    "hold-open": ("Hold open", "A hold stands where a slip can't be seen or mended any more."),
    "hole-differs": ("Hole and bolt differ", "Two threads may start by hand and still not be one."),
    "hole-open": ("Hole not closed", "A plug taken out is an item that must be closed again; unknown counts as open."),
    "hole-unsealed": ("Open hole not sealed", "A stud in a hole that opens to oil or coolant leaks along its thread."),
    "lash-alone": ("One valve moves alone", "Wear moves all valves alike; one alone has its own reason."),
    "later-past": ("Later, and past its line", "The moment it was put off to has gone by."),
    "later-possible": ("Later, and possible now", "What it waited for has come, and nobody else will say so."),
    "long-pause": ("Stood for months", "After months memory is a guess; the list of what is final is not."),
    "look-again": ("Look again", "Done means done and not disturbed since."),
    "not-primed": ("Not primed", "Seconds without oil cost the bearings."),
    "open-time-over": ("Open time over", "A sealant that has skinned looks as good as a fresh one."),
    "opened-not-closed": ("Opened, not closed", "Each loosening is an open item that only a tightening closes."),
    "over-proof": (
        "Over proof load",
        "Past its proof load a bolt does not spring back; turned to yield is its maker's business.",
    ),
    "pass-open": ("Last pass open", "A joint left half-way looks finished from outside."),
    "passed-over": ("Passed over", "A line left behind looks the same as a line done once the next part covers it."),
    "pressure-over": (
        "Pressure over the limit",
        "A stronger stud in a softer head: what is clamped gives way, not the stud.",
    ),
    "put-off": ("Put off", "A joint left for later looks finished to everybody, you included."),
    "reading-missing": ("Reading missing", "Measured at most places is not measured."),
    "reading-out": ("Reading out", "A figure that was not met does not get better by being covered."),
    "reading-undecided": ("Cannot decide", "A number nobody can judge is not yet a result."),
    "result-stale": ("Worked out before a change", "A ratio or a clearance is of the parts that were there."),
    "rounds-moved": ("Moved between rounds", "A value counts once it is read the same again after turning over."),
    "second-look-missing": ("Second look missing", "One pair of eyes sees what it expects."),
    "size-doubtful": ("Odd size", "A point in the wrong place reads like any other number."),
    "source-missing": ("Figure without source", "Know where each figure came from, and how far to trust it."),
    "spec-empty": ("Figure missing", "A clearance or torque from memory belongs to another engine."),
    "standing-in": ("Only a stand-in", "Bolts “to hold”, checking springs and caps look finished."),
    "stopped": ("Stopped, not decided", "Out of limits or broken, and nobody has said what happens with it."),
    "stud-refused": ("Stud not accepted", "Torque and stretch each have a window; both must be met."),
    "temporary-in": ("Temporary thing still in", "What was stuffed in to keep dirt out must come out."),
    "threads-differ": (
        "Thread state is another",
        "“Lubricated” has no agreed meaning; the maker's figure for that state goes first.",
    ),
    "tool-doubtful": ("Tool not in check", "A figure is worth no more than the tool that set it."),
    "trial-only": ("Only tried on", "A trial fit never counts as the final one."),
    "unit-not-on-wrench": (
        "Unit not on the wrench",
        "Pound-feet and newton-metres differ by a third, pound-inches by twelve times.",
    ),
    "wrench-unfit": (
        "Wrench does not fit",
        "A wrench is sure from a fifth of its scale on, and within a year of a check.",
    ),
}
