"""The application for a WSGI server: ``gunicorn service.wsgi:app``."""

from service.api.log_lines import write_log_lines
from service.application import create_app

__all__ = ["app"]

write_log_lines()
app = create_app()
