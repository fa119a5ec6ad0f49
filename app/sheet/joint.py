"""What is known of a joint and what its figures come to, in sections of words for screen and paper."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.said.figures import CANDIDATE
from app.assembly.said.joints import JointSaid
from app.assembly.standing.joints import JointSum, final_passes, joint_sum, same_as_written
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import joint_of
from app.assembly.standing.wrenches import adapter_of, chosen_wrench
from app.sheet.draw.tokens import Token
from app.sheet.rows import Run
from app.sheet.sections import Item, Section
from app.trade.notation import NotationError, read_spec, second, write_magnitude
from app.trade.preload import Window
from app.trade.quantity import Kind, Limits, TorqueTurn
from app.trade.wrench import doubt_at_bolt, rounded_setting
from app.words.say import say

STATE_FIRST = (
    "The maker's own figure for threads in this state goes first; this is only what the spread of friction says."
)


def joint_sections(survey: Survey, line: Line) -> Iterator[Section]:
    """What was said of the joint, or what is still to be said before anything can be worked out."""
    said = joint_of(survey.build, line)
    rows = tuple(_said_rows(said)) if said is not None else ()
    if rows:
        yield Section("The joint", rows)
    missing = [words for name, words in _WANTED if said is None or not said.said(name)]
    if missing:
        words = f"Not said yet: {', '.join(missing)}. J says it; preload, pressure and threads are worked out from it."
        yield Section("" if rows else "The joint", (Item((Run(words, "quiet"),)),))


_WANTED = (
    ("thread", "thread"),
    ("strength", "strength on the head"),
    ("state", "what is on the threads"),
    ("face", "bearing face"),
    ("clamped", "what the head bears on"),
    ("engagement", "depth of thread"),
)
_NAMES = (
    ("thread", "Thread"),
    ("strength", "Strength"),
    ("state", "On the threads"),
    ("written_for", "Figure written for"),
    ("face", "Bearing face"),
    ("hole", "Hole"),
    ("clamped", "Bears on"),
    ("tapped", "Screws into"),
    ("engagement", "Thread engaged"),
    ("run_on", "Run-on torque"),
    ("stretch", "Stretch"),
    ("longest", "Longest to be used again"),
    ("necked", "Neck thinner by at most"),
)


def _said_rows(said: JointSaid) -> Iterator[Item]:
    for name, words in _NAMES:
        if said.said(name):
            yield Item((Run(f"{words}: ", "quiet"), Run(said.said(name), "text")))


# --- how far to trust it


def doubt_sections(survey: Survey, line: Line) -> tuple[Section, ...]:
    """The preload window, share of proof, pressure, threads, the doubt at the bolt, and why a warning stands."""
    said = joint_of(survey.build, line)
    found = next(final_passes(survey, line), None)
    target = found.target_nm if found is not None else None
    total = joint_sum(said, target) if said is not None and target is not None else None
    sections = list(_wrench_doubt(survey, line, target))
    if total is None or said is None:
        words = "Say the thread and what is on it (J), and enter the figure (F): then the preload can be worked out."
        return (Section("Preload", (Item((Run(words, "text"),)),)), *sections)
    return (*_sum_sections(said, total), *sections, *_origins(said))


def _sum_sections(said: JointSaid, total: JointSum) -> Iterator[Section]:
    at = write_magnitude(total.torque_nm, "N·m")
    yield Section(f"Preload from {at}", tuple(_preload(said, total)))
    if total.pressure_mpa is not None:
        yield Section("Pressure under the head", tuple(pressure_items(total)))
    if total.needed_mm is not None:
        yield Section("Threads in the hole", tuple(_threads(total)))
    if total.first is not None:
        words = f"{total.first.first.value}, at {_kn(total.first.load_n)}"
        yield Section("What gives way first", (_plain(words[:1].upper() + words[1:]),))
    if total.findings:
        yield Section("Why a warning stands", tuple(Item((Run(one, "mind"),)) for one in total.findings))


def _preload(said: JointSaid, total: JointSum) -> Iterator[Item]:
    used = said.said("state") or said.said("written_for")
    yield Item((Run(window_words(total.window), "text", bold=True), Run(f", threads {used}", "text")))
    if total.proof_n is not None:
        ink: Token = "stop" if total.middle_n > total.proof_n else "text"
        yield Item((Run(f"{share_words(total.window, total.proof_n)}, {_kn(total.proof_n)}", ink),))
    if total.as_written is not None:
        words = f"{window_words(total.as_written)} with threads {said.said('written_for')}, as the figure was written"
        yield _plain(words)
        same = same_as_written(said, total.torque_nm)
        if same is not None:
            low_nm, high_nm = (write_magnitude(float(f"{one:.3g}"), "N·m") for one in (same.low_nm, same.high_nm))
            yield _plain(f"The same preload may take {low_nm} to {high_nm} here. {STATE_FIRST}")
    if said.scatter_high is not None:
        spread = (
            f"{said.scatter_low:.0%} to {said.scatter_high:.0%}" if said.scatter_low else f"{said.scatter_high:.0%}"
        )
        yield _plain(f"{said.said('method')}: the lists say ± {spread} from bolt to bolt")


def pressure_items(total: JointSum) -> Iterator[Item]:
    """The pressure under the head and how much of it the part takes; only where it was worked out."""
    assert total.pressure_mpa is not None  # asked for only then
    low, middle, high = total.pressure_mpa
    over = total.limit_mpa is not None and middle > total.limit_mpa
    yield Item((Run(f"{low:.0f} to {high:.0f} MPa", "stop" if over else "text", bold=True),))
    if total.limit_mpa is not None:
        yield _plain(f"at most {total.limit_mpa:g} MPa is allowed; a wider hard washer lowers it")


def _threads(total: JointSum) -> Iterator[Item]:
    have, needed = total.engagement_mm, total.needed_mm
    short = have is not None and needed is not None and have < needed
    if have is not None:
        yield Item((Run(f"{have:.1f} mm engaged", "stop" if short else "text", bold=True),))
    yield _plain(f"{needed:.1f} mm are needed for the bolt to break before the threads strip, worst sizes")
    if total.strip_n is not None:
        yield _plain(f"the threads strip at {_kn(total.strip_n)}")


def _wrench_doubt(survey: Survey, line: Line, target: float | None) -> Iterator[Section]:
    joint = joint_of(survey.build, line)
    wrench, adapter = chosen_wrench(survey, joint), adapter_of(joint)
    if wrench is None or target is None:
        return
    try:
        found = doubt_at_bolt(rounded_setting(target, wrench, adapter), wrench, adapter)
    except ValueError as error:
        yield Section("Doubt at the bolt", (Item((Run(str(error), "stop"),)),))
        return
    likely, worst = (write_magnitude(float(f"{one:.2g}"), "N·m") for one in (found.likely_nm, found.worst_nm))
    words = f"± {likely} is likely, ± {worst} with everything off the same way: the wrench, its steps and the lengths"
    yield Section("Doubt at the bolt, before friction", (_plain(words),))


def _origins(said: JointSaid) -> Iterator[Section]:
    if said.taken_from:
        yield Section("Where these figures are from", tuple(_plain(say(one)) for one in said.taken_from))


# --- figures side by side


def compare_sections(survey: Survey, line: Line) -> tuple[Section, ...]:
    """Every figure offered for a line and the one in force: what each comes to in this joint."""
    said = joint_of(survey.build, line)
    bounds = survey.bounds(line)
    sections = []
    if bounds is not None:
        limits = bounds.own
        sections.append(_candidate("In force", bounds.text, bounds.source or "no source given", limits, said))
    unit = line.step.spec.unit if line.step.spec else "N·m"
    for (step, key), one in survey.build.facts.of(CANDIDATE).items():
        if step == line.id:
            source = ", ".join(word for word in (one.source, one.edition, one.dated, one.trust) if word)
            sections.append(_candidate(key, one.text, source, _limits(one.text, unit), said))
    if len(sections) < 2:
        words = "O puts another figure beside it: the maker's, the stud maker's, an advice; each with its source."
        sections.append(Section("", (_plain(words),)))
    return tuple(sections)


def _limits(text: str, unit: str) -> Limits | None:
    try:
        found = read_spec(text, Kind.TORQUE, unit=unit or None)
    except NotationError:
        return None
    return found.torque if isinstance(found, TorqueTurn) else found


def _candidate(heading: str, text: str, source: str, limits: Limits | None, said: JointSaid | None) -> Section:
    items = [
        Item((Run(text, "text", bold=True), Run(f"   {second(limits)}" if limits else "", "quiet"))),
        _plain(source),
    ]
    ends = [one for one in (limits.low, limits.target, limits.high) if one is not None] if limits else []
    total = joint_sum(said, sum(ends) / len(ends)) if said is not None and ends and ends[0] > 0 else None
    if total is None:
        items.append(Item((Run("Preload not worked out: the joint is not described yet", "quiet"),)))
        return Section(heading, tuple(items))
    items.append(_plain(f"preload {window_words(total.window)}"))
    if total.proof_n is not None:
        low, middle, high = (one / total.proof_n for one in (total.window.low_n, total.middle_n, total.window.high_n))
        items.append(Item((Run(f"{low:.0%} to {high:.0%} of proof", "stop" if middle > 1 else "text"),)))
    if total.pressure_mpa is not None:
        low, middle, high = total.pressure_mpa
        limit = f", at most {total.limit_mpa:g}" if total.limit_mpa is not None else ""
        over = total.limit_mpa is not None and middle > total.limit_mpa
        items.append(Item((Run(f"{low:.0f} to {high:.0f} MPa in the part{limit}", "stop" if over else "text"),)))
    return Section(heading, tuple(items))


def window_words(window: Window) -> str:
    """A preload window: “24.0 to 60.0 kN”."""
    return f"{window.low_n / 1000:.1f} to {window.high_n / 1000:.1f} kN"


def share_words(window: Window, proof_n: float) -> str:
    """A preload window as a share of the proof load: “48% to 120% of proof load”."""
    return f"{window.low_n / proof_n:.0%} to {window.high_n / proof_n:.0%} of proof load"


def _kn(force_n: float) -> str:
    return f"{force_n / 1000:.1f} kN"


def _plain(text: str) -> Item:
    return Item((Run(text, "text"),))
