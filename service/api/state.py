"""What the application holds: the reference tables, read once at start, and whether it is about to stop."""

from mmap import mmap
from typing import cast

from flask import Flask

from service.domain.tables import ReferenceTables

__all__ = ["begin_draining", "is_draining", "is_loaded", "keep_draining", "keep_tables", "tables_of"]

_TABLES, _DRAINING = "tables", "draining"


def keep_tables(app: Flask, tables: ReferenceTables) -> None:
    """Let the application hold the tables."""
    app.extensions[_TABLES] = tables


def tables_of(app: Flask) -> ReferenceTables:
    """Return the tables that the application holds."""
    return cast(ReferenceTables, app.extensions[_TABLES])


def is_loaded(app: Flask) -> bool:
    """Tell whether the application has its tables."""
    return _TABLES in app.extensions


def keep_draining(app: Flask) -> None:
    """Let the application hold a mark that is shared with all processes forked from this one."""
    app.extensions[_DRAINING] = mmap(-1, 1)


def begin_draining(app: Flask) -> None:
    """Mark in all processes of the application that it is about to stop."""
    app.extensions[_DRAINING][0] = 1


def is_draining(app: Flask) -> bool:
    """Tell whether the application is about to stop: it answers, but wants no more requests."""
    return bool(app.extensions[_DRAINING][0])
