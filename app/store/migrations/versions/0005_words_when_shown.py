"""Nothing said is kept in English: deeds lose their labels, marks have the program's reasons as kinds and arguments."""

import sqlalchemy as sa
from alembic import op

from app.assembly.said.marks import MARK

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

TOLD_BY_ITS_ENTRIES = "UPDATE deed SET why = '' WHERE verb = 'tighten' OR again = 'tighten'"


def upgrade() -> None:
    """Go up."""
    op.add_column("deed", sa.Column("again", sa.String(), nullable=True))
    op.execute("UPDATE deed SET again = (SELECT first.verb FROM deed AS first WHERE first.id = deed.of)")
    op.execute(TOLD_BY_ITS_ENTRIES)
    op.drop_column("deed", "label")
    op.add_column("line_mark", sa.Column("because", sa.JSON(none_as_null=True), nullable=True))
    _read_up_marks()


def _read_up_marks() -> None:
    marks = sa.table(
        "line_mark",
        *(sa.column(name) for name in ("build_id", "key", "state", "at", "known_from", "why")),
        sa.column("because", sa.JSON(none_as_null=True)),
    )
    connection = op.get_bind()
    for row in connection.execute(sa.select(marks)).mappings().all():
        read = MARK.read_up[1]({name: row[name] for name in ("state", "at", "known_from", "why")})
        if read["because"] is not None:
            where = (marks.c.build_id == row["build_id"], marks.c.key == row["key"])
            connection.execute(sa.update(marks).where(*where).values(why=read["why"], because=read["because"]))
