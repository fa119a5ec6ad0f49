"""Readings carry the doubt of their gauge, the temperature, and how the part grows."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go up."""
    op.add_column("reading", sa.Column("doubt", sa.Double(), server_default="0", nullable=False))
    op.add_column("reading", sa.Column("celsius", sa.Double(), nullable=True))
    op.add_column("reading", sa.Column("alpha_per_k", sa.Double(), server_default="0", nullable=False))
