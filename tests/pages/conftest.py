"""A real browser on a running service, where there is a browser.

Without one the tests are skipped with a reason; with REQUIRE_BROWSER=1 that is a failure.
"""

import logging
import os
import shutil
import threading
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from werkzeug.serving import make_server

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PATIENCE_MS = 15_000


@pytest.fixture(scope="module")
def address(app) -> Iterator[str]:
    """Return where the service listens."""
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.port}"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Return the system's browser; closed after a module, since it holds the event loop."""
    path = shutil.which("chromium")
    if path is None:
        missing = "no chromium on this machine: apt-get install chromium"
        if os.environ.get("REQUIRE_BROWSER") == "1":
            pytest.fail(missing)
        pytest.skip(missing)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """Return a page of its own whose complaints fail the test."""
    context = browser.new_context(base_url=address)
    context.set_default_timeout(PATIENCE_MS)
    page = context.new_page()
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield page
    context.close()
    # A form that is answered with its faults has status 422, which the browser logs as a failure.
    assert [said for said in complaints if "status of 422" not in said] == []
