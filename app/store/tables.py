"""The tables of a workshop, typed. Nothing outside the store sees them.

The tables from `stage` to `place` hold a build as it was made from its plan; those from `line_mark` to `concession`
hold what stands now; `deed` and `entry` are the journal and are only ever added to.
"""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, Dialect, ForeignKey, Index, MetaData, String, Text, TypeDecorator, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Moment(TypeDecorator[datetime]):
    """A time with its zone, kept as ISO 8601 text in UTC so that it sorts and reads well."""

    impl = String(32)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """To UTC text."""
        return None if value is None else value.astimezone(UTC).isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Back to a time with its zone."""
        return None if value is None else datetime.fromisoformat(value)


class Base(DeclarativeBase):
    """What all tables share: named constraints, so that migrations can speak of them."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {datetime: Moment, list[str]: JSON, dict[str, Any]: JSON}  # noqa: RUF012


def _build() -> Mapped[int]:
    return mapped_column(ForeignKey("build.id", ondelete="CASCADE"))


def _build_key() -> Mapped[int]:
    return mapped_column(ForeignKey("build.id", ondelete="CASCADE"), primary_key=True)


def _step() -> Mapped[int]:
    return mapped_column(ForeignKey("step.id", ondelete="CASCADE"), index=True)


class WorkshopRow(Base):
    """The one row about the workshop itself."""

    __tablename__ = "workshop"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    made: Mapped[datetime]
    initials: Mapped[str] = mapped_column(default="")


class PlanRow(Base):
    """A plan as it was when a build was made from it: the whole text, so nothing is lost if the file changes."""

    __tablename__ = "plan"
    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str]
    edition: Mapped[str]
    title: Mapped[str]
    text: Mapped[str] = mapped_column(Text)
    digest: Mapped[str] = mapped_column(String(64), unique=True)


class BuildRow(Base):
    """A build."""

    __tablename__ = "build"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(unique=True)
    made: Mapped[datetime]
    plan_id: Mapped[int] = mapped_column(ForeignKey("plan.id"))
    options: Mapped[dict[str, Any]]
    arrangement: Mapped[dict[str, Any]]


class StageRow(Base):
    """A stage of a build."""

    __tablename__ = "stage"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    number: Mapped[int]
    key: Mapped[str]
    title: Mapped[str]
    __table_args__ = (UniqueConstraint("build_id", "number"),)


class GateRow(Base):
    """A gate of a build."""

    __tablename__ = "gate"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    position: Mapped[int]
    key: Mapped[str]
    letter: Mapped[str]
    title: Mapped[str]
    after: Mapped[str]
    means: Mapped[str]
    harm: Mapped[str]
    __table_args__ = (UniqueConstraint("build_id", "key"),)


class SourceRow(Base):
    """Where figures of the build's plan come from."""

    __tablename__ = "source"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    key: Mapped[str]
    title: Mapped[str]
    trust: Mapped[str]
    edition: Mapped[str]
    note: Mapped[str]
    __table_args__ = (UniqueConstraint("build_id", "key"),)


class PlaceRow(Base):
    """A place on the engine, in its group."""

    __tablename__ = "place"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    group: Mapped[str]
    position: Mapped[int]
    key: Mapped[str]
    title: Mapped[str]
    __table_args__ = (UniqueConstraint("build_id", "group", "key"),)


class StepRow(Base):
    """A line of a build: the step with its number."""

    __tablename__ = "step"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    position: Mapped[int]
    number: Mapped[str]
    stage: Mapped[int]
    key: Mapped[str]
    do: Mapped[str]
    note: Mapped[str]
    why: Mapped[str]
    where: Mapped[str]
    minutes: Mapped[int]
    people: Mapped[int]
    noisy: Mapped[bool]
    air: Mapped[bool]
    tools: Mapped[list[str]]
    uses: Mapped[list[str]]
    takes_off: Mapped[list[str]]
    takes_out: Mapped[list[str]]
    caution_level: Mapped[str | None]
    caution_text: Mapped[str | None]
    places: Mapped[str]
    gate: Mapped[str]
    hold: Mapped[bool]
    harm: Mapped[str]
    act: Mapped[str]
    follow_up: Mapped[str | None]
    photo: Mapped[bool]
    second_look: Mapped[bool]
    once: Mapped[bool]
    easy: Mapped[list[str]]
    fixed: Mapped[str]
    block: Mapped[str]
    role: Mapped[str | None]
    turns: Mapped[str | None]
    tightens: Mapped[str]
    any_time: Mapped[bool]
    __table_args__ = (UniqueConstraint("build_id", "key"), Index("ix_step_number", "build_id", "number", unique=True))


class RelationRow(Base):
    """One relation of a step, by the name it has in the plan; `until` ends a spell that began with the target."""

    __tablename__ = "relation"
    id: Mapped[int] = mapped_column(primary_key=True)
    step_id: Mapped[int] = _step()
    kind: Mapped[str]
    target: Mapped[str]
    wait: Mapped[str]
    within: Mapped[str]
    because: Mapped[str]
    option: Mapped[str]
    any_of: Mapped[list[str]]
    until: Mapped[str]


class SpecRow(Base):
    """What a step's readings or tightening must meet, as its plan says."""

    __tablename__ = "spec"
    step_id: Mapped[int] = mapped_column(ForeignKey("step.id", ondelete="CASCADE"), primary_key=True)
    kind: Mapped[str]
    limits: Mapped[str]
    unit: Mapped[str]
    source: Mapped[str]
    record: Mapped[str | None]
    rounds: Mapped[int]
    state: Mapped[str]
    choices: Mapped[list[str]]
    good: Mapped[list[str]]
    note: Mapped[str]


class PartRow(Base):
    """A part a step needs."""

    __tablename__ = "part_requirement"
    id: Mapped[int] = mapped_column(primary_key=True)
    step_id: Mapped[int] = _step()
    key: Mapped[str]
    name: Mapped[str]
    count: Mapped[int]
    one_use: Mapped[bool]
    fit: Mapped[str | None]


class TemporaryRow(Base):
    """A temporary thing a step puts in."""

    __tablename__ = "temporary_item"
    id: Mapped[int] = mapped_column(primary_key=True)
    step_id: Mapped[int] = _step()
    key: Mapped[str]
    name: Mapped[str]
    where: Mapped[str]
    count: Mapped[int]
    turning_ok: Mapped[bool]


class NamedRow(Base):
    """What the lines speak of by name: options, groups of holes, fasteners, happenings; `value` as the plan says it."""

    __tablename__ = "named"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    kind: Mapped[str]
    key: Mapped[str]
    value: Mapped[dict[str, Any]]
    __table_args__ = (UniqueConstraint("build_id", "kind", "key"),)


class LineMarkRow(Base):
    """The state a line stands at; no row means To do."""

    __tablename__ = "line_mark"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    state: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    why: Mapped[str]
    before: Mapped[str]
    waits_for: Mapped[str]
    was_ready: Mapped[bool]
    disturbed_by: Mapped[str]
    meanwhile: Mapped[str]
    known_from: Mapped[datetime | None]
    because: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    number: Mapped[int] = mapped_column(server_default="0")


class TickRow(Base):
    """A place of a many-alike line that is marked."""

    __tablename__ = "tick"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    place: Mapped[str] = mapped_column(primary_key=True)
    state: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    together: Mapped[bool]
    number: Mapped[int] = mapped_column(server_default="0")


class ReadingRow(Base):
    """A value that stands at a place, as typed and in the base unit of its kind."""

    __tablename__ = "reading"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    place: Mapped[str] = mapped_column(primary_key=True)
    round: Mapped[int] = mapped_column(primary_key=True)
    text: Mapped[str]
    magnitude: Mapped[float | None]
    unit: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    tool: Mapped[str]
    doubt: Mapped[float] = mapped_column(server_default="0")
    celsius: Mapped[float | None]
    alpha_per_k: Mapped[float] = mapped_column(server_default="0")
    number: Mapped[int] = mapped_column(server_default="0")


class FigureRow(Base):
    """A figure a person entered."""

    __tablename__ = "figure"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]
    source: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    number: Mapped[int] = mapped_column(server_default="0")


class PartSaidRow(Base):
    """Where a part is, as last said."""

    __tablename__ = "part_said"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    holding: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    why: Mapped[str]
    number: Mapped[int] = mapped_column(server_default="0")


class PassageRow(Base):
    """A gate gone through."""

    __tablename__ = "passage"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    by: Mapped[str]
    at: Mapped[datetime]
    number: Mapped[int] = mapped_column(server_default="0")


class ConcessionRow(Base):
    """A written decision to go on; `place` is the gate it was written at, "" outside a gate."""

    __tablename__ = "concession"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str] = mapped_column(primary_key=True)
    place: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    covers: Mapped[list[str]]
    before: Mapped[str]
    number: Mapped[int] = mapped_column(server_default="0")


class FactRow(Base):
    """Any other fact that stands: events, findings, temporary things, fits, counts, sources, tools and the like."""

    __tablename__ = "fact"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    about: Mapped[str]
    key: Mapped[str]
    place: Mapped[str]
    value: Mapped[dict[str, Any]]
    form: Mapped[int] = mapped_column(server_default="1")
    number: Mapped[int] = mapped_column(server_default="0")
    __table_args__ = (Index("ix_fact_subject", "build_id", "about", "key", "place", unique=True),)


class DeedRow(Base):
    """One action of a person; only ever added to."""

    __tablename__ = "deed"
    id: Mapped[int] = mapped_column(primary_key=True)
    build_id: Mapped[int] = _build()
    verb: Mapped[str]
    by: Mapped[str]
    at: Mapped[datetime]
    written: Mapped[datetime]
    why: Mapped[str]
    of: Mapped[int | None] = mapped_column(ForeignKey("deed.id"))
    again: Mapped[str | None]
    __table_args__ = (Index("ix_deed_build", "build_id", "id"), Index("ix_deed_at", "build_id", "at"))


class EntryRow(Base):
    """One fact put in place of another by a deed; only ever added to."""

    __tablename__ = "entry"
    id: Mapped[int] = mapped_column(primary_key=True)
    deed_id: Mapped[int] = mapped_column(ForeignKey("deed.id", ondelete="CASCADE"), index=True)
    event: Mapped[str]
    about: Mapped[str]
    key: Mapped[str]
    place: Mapped[str]
    round: Mapped[int]
    form: Mapped[int] = mapped_column(server_default="1")
    old: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    new: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))


class PrintRow(Base):
    """A traveller that was printed, so that a paper copy can be told from a later one."""

    __tablename__ = "print"
    build_id: Mapped[int] = _build_key()
    number: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]


class ArrowRow(Base):
    """Where the hand was on the sheet: line, scroll and a value half typed."""

    __tablename__ = "place_arrow"
    build_id: Mapped[int] = _build_key()
    key: Mapped[str]
    place: Mapped[str]
    scroll: Mapped[int]
    draft: Mapped[str]
