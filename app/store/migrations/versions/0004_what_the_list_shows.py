"""Builds carry what their list shows and the name they are looked for by; undo and the words used get indexes."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

COUNTED = """
UPDATE build SET
  last = (SELECT max(deed.at) FROM deed WHERE deed.build_id = build.id),
  done = (SELECT count(*) FROM line_mark WHERE line_mark.build_id = build.id AND line_mark.state = 'done'),
  lines = (SELECT count(*) FROM step WHERE step.build_id = build.id)
"""


def upgrade() -> None:
    """Go up."""
    op.add_column("build", sa.Column("folded", sa.String(), server_default="", nullable=False))
    op.add_column("build", sa.Column("last", sa.String(32), nullable=True))
    for count in ("done", "lines"):
        op.add_column("build", sa.Column(count, sa.Integer(), server_default="0", nullable=False))
    op.execute(COUNTED)
    _fold_names()
    op.create_index("ix_build_folded", "build", ["folded"])
    op.create_index("ix_deed_of", "deed", ["of"])
    op.create_index("ix_deed_verb", "deed", ["verb"])
    op.create_index("ix_entry_words", "entry", ["about", "form", "event"])


def _fold_names() -> None:
    """SQLite folds the letters of English only."""
    build = sa.table("build", sa.column("id", sa.Integer), sa.column("name", sa.String), sa.column("folded", sa.String))
    connection = op.get_bind()
    for row in connection.execute(sa.select(build.c.id, build.c.name)).all():
        connection.execute(sa.update(build).where(build.c.id == row.id).values(folded=row.name.casefold()))
