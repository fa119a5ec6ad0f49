"""The first tables"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go up."""
    op.create_table(
        "plan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("edition", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan")),
        sa.UniqueConstraint("digest", name=op.f("uq_plan_digest")),
    )
    op.create_table(
        "workshop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("made", sa.String(length=32), nullable=False),
        sa.Column("initials", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_workshop")),
    )
    op.create_table(
        "build",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("made", sa.String(length=32), nullable=False),
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("options", sa.JSON(), nullable=False),
        sa.Column("arrangement", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_build_plan_id_plan")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build")),
        sa.UniqueConstraint("name", name=op.f("uq_build_name")),
    )
    op.create_table(
        "concession",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("covers", sa.JSON(), nullable=False),
        sa.Column("before", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_concession_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", "key", "place", name=op.f("pk_concession")),
    )
    op.create_table(
        "deed",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("verb", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("written", sa.String(length=32), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("of", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_deed_build_id_build"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["of"], ["deed.id"], name=op.f("fk_deed_of_deed")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_deed")),
    )
    with op.batch_alter_table("deed", schema=None) as batch_op:
        batch_op.create_index("ix_deed_build", ["build_id", "id"], unique=False)

    op.create_table(
        "fact",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_fact_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fact")),
    )
    with op.batch_alter_table("fact", schema=None) as batch_op:
        batch_op.create_index("ix_fact_subject", ["build_id", "about", "key", "place"], unique=True)

    op.create_table(
        "figure",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_figure_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_figure")),
    )
    op.create_table(
        "gate",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("letter", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("after", sa.String(), nullable=False),
        sa.Column("means", sa.String(), nullable=False),
        sa.Column("harm", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_gate_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_gate")),
        sa.UniqueConstraint("build_id", "key", name=op.f("uq_gate_build_id")),
    )
    op.create_table(
        "line_mark",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("before", sa.String(), nullable=False),
        sa.Column("waits_for", sa.String(), nullable=False),
        sa.Column("was_ready", sa.Boolean(), nullable=False),
        sa.Column("disturbed_by", sa.String(), nullable=False),
        sa.Column("meanwhile", sa.String(), nullable=False),
        sa.Column("known_from", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_line_mark_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_line_mark")),
    )
    op.create_table(
        "named",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_named_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_named")),
        sa.UniqueConstraint("build_id", "kind", "key", name=op.f("uq_named_build_id")),
    )
    op.create_table(
        "part_said",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("holding", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_part_said_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_part_said")),
    )
    op.create_table(
        "passage",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_passage_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_passage")),
    )
    op.create_table(
        "place",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("group", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_place_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_place")),
        sa.UniqueConstraint("build_id", "group", "key", name=op.f("uq_place_build_id")),
    )
    op.create_table(
        "place_arrow",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("scroll", sa.Integer(), nullable=False),
        sa.Column("draft", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_place_arrow_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", name=op.f("pk_place_arrow")),
    )
    op.create_table(
        "print",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_print_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("build_id", "number", name=op.f("pk_print")),
    )
    op.create_table(
        "reading",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("magnitude", sa.Double(), nullable=True),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("tool", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_reading_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("build_id", "key", "place", "round", name=op.f("pk_reading")),
    )
    op.create_table(
        "source",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("trust", sa.String(), nullable=False),
        sa.Column("edition", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_source_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_source")),
        sa.UniqueConstraint("build_id", "key", name=op.f("uq_source_build_id")),
    )
    op.create_table(
        "stage",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_stage_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stage")),
        sa.UniqueConstraint("build_id", "number", name=op.f("uq_stage_build_id")),
    )
    op.create_table(
        "step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("stage", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("do", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("where", sa.String(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("noisy", sa.Boolean(), nullable=False),
        sa.Column("air", sa.Boolean(), nullable=False),
        sa.Column("tools", sa.JSON(), nullable=False),
        sa.Column("uses", sa.JSON(), nullable=False),
        sa.Column("takes_off", sa.JSON(), nullable=False),
        sa.Column("takes_out", sa.JSON(), nullable=False),
        sa.Column("caution_level", sa.String(), nullable=True),
        sa.Column("caution_text", sa.String(), nullable=True),
        sa.Column("places", sa.String(), nullable=False),
        sa.Column("gate", sa.String(), nullable=False),
        sa.Column("hold", sa.Boolean(), nullable=False),
        sa.Column("harm", sa.String(), nullable=False),
        sa.Column("act", sa.String(), nullable=False),
        sa.Column("follow_up", sa.String(), nullable=True),
        sa.Column("photo", sa.Boolean(), nullable=False),
        sa.Column("second_look", sa.Boolean(), nullable=False),
        sa.Column("once", sa.Boolean(), nullable=False),
        sa.Column("easy", sa.JSON(), nullable=False),
        sa.Column("fixed", sa.String(), nullable=False),
        sa.Column("block", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=True),
        sa.Column("turns", sa.String(), nullable=True),
        sa.Column("tightens", sa.String(), nullable=False),
        sa.Column("any_time", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_step_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step")),
        sa.UniqueConstraint("build_id", "key", name=op.f("uq_step_build_id")),
    )
    with op.batch_alter_table("step", schema=None) as batch_op:
        batch_op.create_index("ix_step_number", ["build_id", "number"], unique=True)

    op.create_table(
        "tick",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("together", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_tick_build_id_build"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("build_id", "key", "place", name=op.f("pk_tick")),
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("deed_id", sa.Integer(), nullable=False),
        sa.Column("event", sa.String(), nullable=False),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("old", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("new", sa.JSON(none_as_null=True), nullable=True),
        sa.ForeignKeyConstraint(["deed_id"], ["deed.id"], name=op.f("fk_entry_deed_id_deed"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry")),
    )
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_entry_deed_id"), ["deed_id"], unique=False)

    op.create_table(
        "part_requirement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("one_use", sa.Boolean(), nullable=False),
        sa.Column("fit", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["step_id"], ["step.id"], name=op.f("fk_part_requirement_step_id_step"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part_requirement")),
    )
    op.create_table(
        "relation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("target", sa.String(), nullable=False),
        sa.Column("wait", sa.String(), nullable=False),
        sa.Column("within", sa.String(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("option", sa.String(), nullable=False),
        sa.Column("any_of", sa.JSON(), nullable=False),
        sa.Column("until", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_relation_step_id_step"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_relation")),
    )
    op.create_table(
        "spec",
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("limits", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("record", sa.String(), nullable=True),
        sa.Column("rounds", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("choices", sa.JSON(), nullable=False),
        sa.Column("good", sa.JSON(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_spec_step_id_step"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("step_id", name=op.f("pk_spec")),
    )
    op.create_table(
        "temporary_item",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("where", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("turning_ok", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["step_id"], ["step.id"], name=op.f("fk_temporary_item_step_id_step"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_temporary_item")),
    )
