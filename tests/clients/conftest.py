"""The programs here are no tests: they need generated clients. `make test-clients` runs them."""

collect_ignore = ["python"]
