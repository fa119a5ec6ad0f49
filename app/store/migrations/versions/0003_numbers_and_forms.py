"""Facts carry the number of the deed that wrote them, entries the form they are in; look-ups get their indexes."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

# Each table of facts with the name its kind has in the journal, and what tells its facts apart.
FACTS = {
    "line_mark": ("'line'", "key"),
    "tick": ("'tick'", "key place"),
    "reading": ("'reading'", "key place round"),
    "figure": ("'figure'", "key"),
    "part_said": ("'part'", "key"),
    "passage": ("'gate'", "key"),
    "concession": ("'concession'", "key place"),
    "fact": ("fact.about", "key place"),
}


def upgrade() -> None:
    """Go up."""
    for table in FACTS:
        op.add_column(table, sa.Column("number", sa.Integer(), server_default="0", nullable=False))
    for table in ("fact", "entry"):
        op.add_column(table, sa.Column("form", sa.Integer(), server_default="1", nullable=False))
    op.create_index("ix_numbering", "entry", ["about", "key"])
    for table, (about, keys) in FACTS.items():
        op.execute(_numbered(table, about, keys.split()))
    op.drop_index("ix_numbering", "entry")
    for table in ("relation", "part_requirement", "temporary_item"):
        op.create_index(f"ix_{table}_step_id", table, ["step_id"])
    op.create_index("ix_deed_at", "deed", ["build_id", "at"])


def _numbered(table: str, about: str, keys: list[str]) -> str:
    """Number each fact by the last deed that wrote something of the same subject."""
    same = " AND ".join(f"entry.{key} = {table}.{key}" for key in keys)
    return (
        f"UPDATE {table} SET number = coalesce((SELECT max(deed.id) FROM entry JOIN deed ON deed.id = entry.deed_id "
        f"WHERE deed.build_id = {table}.build_id AND entry.about = {about} AND {same}), 0)"
    )
