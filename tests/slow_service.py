"""The service with an address that takes longer than any time limit, to be run by a server of its own."""

import time

from service.wsgi import app

__all__ = ["app"]


@app.get("/slow")
def be_slow() -> str:
    while True:
        time.sleep(0.01)
