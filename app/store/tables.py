"""The tables of a workshop, typed. Nothing outside the store sees them.

The tables from `STAGE` to `NAMED` hold a build as it was made from its plan; those of facts hold what stands now, and
get their columns from what the classes of the facts say; `DEED` and `ENTRY` are the journal and are only ever added to.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from enum import Enum
from typing import Any, get_origin

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    Dialect,
    Double,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

from app.assembly.said.kinds import FactKind, Spot, every_kind
from app.assembly.said.phrase import Phrase
from app.store.codec import bare, may_be_none, types_of

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA = MetaData(naming_convention=NAMING)


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


COLUMN_TYPES: Mapping[type, type[Any]] = {
    str: String,
    bool: Boolean,
    int: Integer,
    float: Double,
    datetime: Moment,
}

Columns = Iterator[Column[Any]]


def _id() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def _build(*, key: bool = False) -> Column[int]:
    return Column("build_id", ForeignKey("build.id", ondelete="CASCADE"), primary_key=key, nullable=False)


def _step(*, key: bool = False) -> Column[int]:
    within = ForeignKey("step.id", ondelete="CASCADE")
    return Column("step_id", within, primary_key=key, nullable=False, index=None if key else True)


def _each(kind: type[Any], names: str, *, none: bool = False) -> Columns:
    """Columns of one type by their names."""
    return (Column(name, kind, nullable=none) for name in names.split())


# --- the workshop, its plans and its builds

WORKSHOP = Table("workshop", METADATA, _id(), *_each(String, "name initials"), *_each(Moment, "made"))

# A plan as it was when a build was made from it: the whole text, so nothing is lost if the file changes.
PLAN = Table(
    "plan",
    METADATA,
    _id(),
    *_each(String, "key edition title"),
    *_each(Text, "text"),
    Column("digest", String(64), nullable=False, unique=True),
)

# `folded` is the name as it is looked for; `last`, `done` and `lines` are what the list of builds shows of each: the
# moment of its latest deed, its lines that are Done, and all its lines.
BUILD = Table(
    "build",
    METADATA,
    _id(),
    Column("name", String, nullable=False, unique=True),
    *_each(Moment, "made"),
    Column("plan_id", ForeignKey("plan.id"), nullable=False),
    *_each(JSON, "options arrangement"),
    Column("folded", String, nullable=False, index=True, server_default=""),
    *_each(Moment, "last", none=True),
    Column("done", Integer, nullable=False, server_default="0"),
    Column("lines", Integer, nullable=False, server_default="0"),
)

# --- a build as it was made

STAGE = Table(
    "stage",
    METADATA,
    _id(),
    _build(),
    *_each(Integer, "number"),
    *_each(String, "key title"),
    UniqueConstraint("build_id", "number"),
)

GATE = Table(
    "gate",
    METADATA,
    _id(),
    _build(),
    *_each(Integer, "position"),
    *_each(String, "key letter title after means harm"),
    UniqueConstraint("build_id", "key"),
)

SOURCE = Table(
    "source",
    METADATA,
    _id(),
    _build(),
    *_each(String, "key title trust edition note"),
    UniqueConstraint("build_id", "key"),
)

PLACE = Table(
    "place",
    METADATA,
    _id(),
    _build(),
    *_each(String, "group key title"),
    *_each(Integer, "position"),
    UniqueConstraint("build_id", "group", "key"),
)

# A line of a build: the step with its number.
STEP = Table(
    "step",
    METADATA,
    _id(),
    _build(),
    *_each(Integer, "position stage minutes people"),
    *_each(String, "number key do note why where places gate harm act fixed block tightens"),
    *_each(Boolean, "noisy air hold photo second_look once any_time"),
    *_each(JSON, "tools uses takes_off takes_out easy"),
    *_each(String, "caution_level caution_text follow_up role turns", none=True),
    UniqueConstraint("build_id", "key"),
    Index("ix_step_number", "build_id", "number", unique=True),
)

# One relation of a step, by the name it has in the plan; `until` ends a spell that began with the target.
RELATION = Table(
    "relation",
    METADATA,
    _id(),
    _step(),
    *_each(String, "kind target wait within because option until"),
    *_each(JSON, "any_of"),
)

# What a step's readings or tightening must meet, as its plan says.
SPEC = Table(
    "spec",
    METADATA,
    _step(key=True),
    *_each(String, "kind limits unit source state note"),
    *_each(String, "record", none=True),
    *_each(Integer, "rounds"),
    *_each(JSON, "choices good"),
)

PART = Table(
    "part_requirement",
    METADATA,
    _id(),
    _step(),
    *_each(String, "key name"),
    *_each(Integer, "count"),
    *_each(Boolean, "one_use"),
    *_each(String, "fit", none=True),
)

TEMPORARY = Table(
    "temporary_item",
    METADATA,
    _id(),
    _step(),
    *_each(String, "key name where"),
    *_each(Integer, "count"),
    *_each(Boolean, "turning_ok"),
)

# What the lines speak of by name: options, groups of holes, fasteners, happenings; `value` as the plan says it.
NAMED = Table(
    "named",
    METADATA,
    _id(),
    _build(),
    *_each(String, "kind key"),
    *_each(JSON, "value"),
    UniqueConstraint("build_id", "kind", "key"),
)

# --- what stands now; `number` is the journal number of the deed that wrote it


def _number() -> Column[int]:
    return Column("number", Integer, nullable=False, server_default="0")


def _form() -> Column[int]:
    return Column("form", Integer, nullable=False, server_default="1")


def _fact_table(kind: FactKind[Any]) -> Table:
    """The table of a kind: what its facts are said of, then a column for each field of its class."""
    keys = [Column("key", String, primary_key=True, nullable=False)]
    if kind.spot is not Spot.NONE:
        keys.append(Column("place", String, primary_key=True, nullable=False))
    turn = [Column("round", Integer, primary_key=True, nullable=False)] if kind.spot is Spot.ROUND else []
    fields = (
        Column(name, _column_type(bare(said)), nullable=may_be_none(said)) for name, said in types_of(kind.fact).items()
    )
    return Table(kind.table, METADATA, _build(key=True), *keys, *turn, *fields, _number())


def _column_type(said: Any) -> Any:
    if isinstance(said, type) and issubclass(said, Enum):
        return String
    if said is Phrase:
        return JSON(none_as_null=True)
    return JSON if get_origin(said) is tuple else COLUMN_TYPES[said]


# The kinds that are asked for by their columns have a table of their own; every other fact stands in `FACT`.
OF_KIND: Mapping[FactKind[Any], Table] = {kind: _fact_table(kind) for kind in every_kind().values() if kind.table}

FACT = Table(
    "fact",
    METADATA,
    _id(),
    _build(),
    *_each(String, "about key place"),
    *_each(JSON, "value"),
    _form(),
    _number(),
    Index("ix_fact_subject", "build_id", "about", "key", "place", unique=True),
)

# --- the journal

DEED = Table(
    "deed",
    METADATA,
    _id(),
    _build(),
    *_each(String, "verb by why"),
    *_each(String, "again", none=True),
    *_each(Moment, "at written"),
    Column("of", ForeignKey("deed.id"), index=True),
    Index("ix_deed_build", "build_id", "id"),
    Index("ix_deed_at", "build_id", "at"),
    Index("ix_deed_verb", "verb"),
)

# One fact put in place of another by a deed.
ENTRY = Table(
    "entry",
    METADATA,
    _id(),
    Column("deed_id", ForeignKey("deed.id", ondelete="CASCADE"), nullable=False, index=True),
    *_each(String, "event about key place"),
    *_each(Integer, "round"),
    _form(),
    *(Column(name, JSON(none_as_null=True)) for name in ("old", "new")),
    Index("ix_entry_words", "about", "form", "event"),
)

# --- small things kept

# A traveller that was printed, so that a paper copy can be told from a later one.
PRINT = Table("print", METADATA, _build(key=True), Column("number", Integer, primary_key=True), *_each(Moment, "at"))

# Where the hand was on the sheet: line, scroll and a value half typed.
ARROW = Table("place_arrow", METADATA, _build(key=True), *_each(String, "key place draft"), *_each(Integer, "scroll"))
