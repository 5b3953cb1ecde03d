"""The application for a WSGI server: ``gunicorn service.wsgi:app``."""

from service.application import create_app

__all__ = ["app"]

app = create_app()
