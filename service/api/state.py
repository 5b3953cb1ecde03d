"""What the application holds: the reference tables, read once at start."""

from typing import cast

from flask import Flask

from service.domain.tables import ReferenceTables

__all__ = ["keep_tables", "tables_of"]

_KEY = "tables"


def keep_tables(app: Flask, tables: ReferenceTables) -> None:
    """Let the application hold the tables."""
    app.extensions[_KEY] = tables


def tables_of(app: Flask) -> ReferenceTables:
    """Return the tables that the application holds."""
    return cast(ReferenceTables, app.extensions[_KEY])
