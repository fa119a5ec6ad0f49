"""Joints, as described."""

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.joints import JOINT, JointSaid
from app.assembly.said.kinds import Subject
from app.assembly.standing.joints import final_sums
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines, joint_key
from app.words.say import say
from app.words.table import WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import time_text


def joints(survey: Survey) -> Table:
    """Each described joint: bolts, threads, wrench and adapter, and what its last figure comes to."""
    sums = {joint_key(line): total for line, _, total in final_sums(survey)}
    rows: dict[str, tuple[str, ...]] = {}
    for line, said in described_lines(survey):
        key = joint_key(line)
        total = sums.get(key)
        words = [said.said(name) for name in ("thread", "strength", "state")]
        with_what = [said.said("wrench"), said.said("adapter") and f"adapter {said.said('adapter')}"]
        preload = f"{total.window.low_n / 1000:.1f} to {total.window.high_n / 1000:.1f} kN" if total else ""
        rows[key] = (
            f"{line.number} {line.step.do}",
            ", ".join(word for word in words if word),
            ", ".join(word for word in with_what if word),
            preload,
            said.by,
        )
    columns = (
        Column("Joint, last line", 66, 700),
        Column("Bolts", 44),
        Column("Wrench", 26),
        Column("Preload", 32),
        WHO,
    )
    return Table(
        "Joints, as described; preload estimated over the spread of friction", columns, tuple(rows.values()), ""
    )


def joint_values(survey: Survey) -> list[Values]:
    """Every joint that was described: what was said of it, what its last figure comes to, and each bolt's passes."""
    seen: set[str] = set()
    found = []
    for line, said in described_lines(survey):
        key = joint_key(line)
        if key not in seen:
            seen.add(key)
            lines = [other for other in survey.build.lines if other.tightening and joint_key(other) == key]
            found.append({"joint": key, "lines": [one.number for one in lines]} | _joint(survey, said, lines))
    return found


def _joint(survey: Survey, said: JointSaid, lines: list[Line]) -> Values:
    sums = {line.id: total for line, _, total in final_sums(survey)}
    total = next((sums[line.id] for line in lines if line.id in sums), None)
    return {
        "said": dict(said.typed),
        "taken_from": [say(one) for one in said.taken_from],
        "by": said.by,
        "at": time_text(said.at),
        "torque_nm": total.torque_nm if total else None,
        "preload_low_n": total.window.low_n if total else None,
        "preload_high_n": total.window.high_n if total else None,
        "proof_load_n": total.proof_n if total else None,
        "pressure_low_mpa": total.pressure_mpa[0] if total and total.pressure_mpa else None,
        "pressure_high_mpa": total.pressure_mpa[2] if total and total.pressure_mpa else None,
        "pressure_limit_mpa": total.limit_mpa if total else None,
        "engagement_mm": total.engagement_mm if total else None,
        "engagement_needed_mm": total.needed_mm if total else None,
    }


def _named(build: Build, subject: Subject) -> str:
    run = [line for line in build.lines if joint_key(line) == subject.key]
    return f"the joint of {run[0].number}" if run else "a joint"


def _words(said: JointSaid) -> str:
    """A joint in a few words: its thread, the state of it, the wrench and adapter."""
    adapter = f"adapter {said.said('adapter')}" if said.said("adapter") else ""
    words = [said.said("thread"), said.said("strength"), said.said("state"), said.said("wrench"), adapter]
    return ", ".join(word for word in words if word) or "nothing said yet"


TELLING = Telling(
    JOINT,
    words=lambda _build, _subject, said: _words(said),
    named=_named,
    values=joint_values,
    record=(Section(Part.WORKED, 4, lambda survey, _: (joints(survey),)),),
)
