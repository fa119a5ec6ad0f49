"""How Alembic runs here: on a connection and inside a transaction that `app.store.migrate` has begun."""

from alembic import context

from app.store.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
