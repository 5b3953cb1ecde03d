# Everything runs in a virtual environment of the project's own.
VENV := .venv
PYTHON := $(VENV)/bin/python
PORT ?= 8080
BASE_PYTHON ?= python3

.DEFAULT_GOAL := help

.PHONY: help
help: ## Show what can be made
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sort | awk -F ':.*## ' '{printf "  make %-14s %s\n", $$1, $$2}'

$(VENV)/.runtime: docker/requirements.lock pyproject.toml
	test -x $(PYTHON) || $(BASE_PYTHON) -m venv $(VENV)
	$(PYTHON) -m pip install --quiet --require-hashes -r docker/requirements.lock
	touch $@

$(VENV)/.dev: docker/requirements-dev.lock pyproject.toml
	test -x $(PYTHON) || $(BASE_PYTHON) -m venv $(VENV)
	$(PYTHON) -m pip install --quiet --require-hashes -r docker/requirements-dev.lock
	touch $@

.PHONY: run
run: $(VENV)/.runtime ## Start the service on loopback and print how to plan a hat
	@PYTHON=$(PYTHON) PORT=$(PORT) sh docker/run.sh

.PHONY: key
key: $(VENV)/.runtime ## Make an API key and its hash
	@$(PYTHON) -m service.api_key

.PHONY: demo
demo: $(VENV)/.runtime ## Plan the demo hat without a server and print its rounds
	@$(PYTHON) -m service.demo

.PHONY: test
test: $(VENV)/.dev ## Run every test that needs no root; those of the pages use chromium where it is
	$(PYTHON) -m pytest $(PYTEST_OPTIONS)

COVERAGE_PROFILE ?= mutation

.PHONY: coverage
coverage: $(VENV)/.dev ## Run the tests and hold the branches that they run through to their limits
	HYPOTHESIS_PROFILE=$(COVERAGE_PROFILE) $(PYTHON) -m pytest --cov --cov-report= $(PYTEST_OPTIONS)
	$(PYTHON) -m coverage report
	$(PYTHON) -m coverage json -q -o - | $(PYTHON) -m tests.coverage_limits

.PHONY: check
check: lint types test ## Look at the code and run every test

.PHONY: lint
lint: $(VENV)/.dev ## Look for mistakes and untidy code
	$(PYTHON) -m ruff check .
	$(PYTHON) -m ruff format --check .
	$(VENV)/bin/hadolint docker/Dockerfile

.PHONY: format
format: $(VENV)/.dev ## Tidy the code
	$(PYTHON) -m ruff check --fix .
	$(PYTHON) -m ruff format .

.PHONY: types
types: $(VENV)/.dev ## Check the types
	$(PYTHON) -m mypy

# The tools that generate clients, as their own lock files have them.
$(VENV)/.clients: tests/clients/typescript/package-lock.json tests/clients/python/requirements.lock | $(VENV)/.runtime
	rm -rf $(VENV)/clients
	mkdir -p $(VENV)/clients/typescript
	cp tests/clients/typescript/package.json tests/clients/typescript/package-lock.json $(VENV)/clients/typescript
	npm ci --silent --ignore-scripts --no-audit --no-fund --prefix $(VENV)/clients/typescript
	$(BASE_PYTHON) -m venv $(VENV)/clients/python
	$(VENV)/clients/python/bin/python -m pip install --quiet --require-hashes -r tests/clients/python/requirements.lock
	touch $@

.PHONY: test-clients
test-clients: $(VENV)/.runtime $(VENV)/.clients ## Generate clients from the document and use them (needs node and npm)
	$(PYTHON) -m tests.clients $(VENV)/clients

.PHONY: openapi
openapi: $(VENV)/.dev ## Write the OpenAPI document that the code makes
	$(PYTHON) -m service.api.write_document

.PHONY: bench
bench: $(VENV)/.dev ## Measure each calculation beside a constant answer
	$(PYTHON) -m tests.bench.calculations
	$(PYTHON) -m tests.bench.hostile_text

.PHONY: solvers
solvers: $(VENV)/.lab ## Compare the exact crown with general solvers
	$(PYTHON) -m tests.bench.crown_solvers

.PHONY: throughput
throughput: $(VENV)/.dev ## Measure each answer over real HTTP beside a constant one (needs wrk)
	$(PYTHON) -m tests.bench.throughput

$(VENV)/.lab: docker/requirements-lab.lock $(VENV)/.dev
	$(PYTHON) -m pip install --quiet --require-hashes -r docker/requirements-lab.lock
	touch $@

FUZZ_EXAMPLES ?= 1000
FUZZ_RUNS ?= 20000

.PHONY: fuzz
fuzz: $(VENV)/.lab ## Search for requests and texts that break the service (an hour)
	$(PYTHON) -m tests.fuzz.random_bytes body -runs=$(FUZZ_RUNS)
	$(PYTHON) -m tests.fuzz.random_bytes pattern -runs=$(FUZZ_RUNS)
	$(PYTHON) -m tests.fuzz.over_http --examples $(FUZZ_EXAMPLES)

SBOM ?= sbom.cdx.json

.PHONY: sbom
sbom: $(VENV)/.lab ## Write the bill of materials of the image, CycloneDX, from its lock file
	$(PYTHON) -m cyclonedx_py requirements docker/requirements.lock --pyproject pyproject.toml \
	  --output-reproducible --spec-version 1.6 -o $(SBOM)

MUTANTS ?= 1000

.PHONY: mutation
mutation: $(VENV)/.lab ## Count the small faults that the tests find in a sample (hours)
	$(PYTHON) -m tests.mutation.sample --count $(MUTANTS)

.PHONY: load
load: $(VENV)/.dev ## Load two instances behind nginx while they are killed (needs nginx and wrk)
	$(PYTHON) -m tests.load.killing

.PHONY: lock
lock: ## Resolve the dependencies anew (needs uv and npm)
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header \
	  --extra png pyproject.toml -o docker/requirements.lock
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header \
	  --extra dev pyproject.toml -o docker/requirements-dev.lock
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header \
	  --extra dev --extra lab pyproject.toml -o docker/requirements-lab.lock
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header \
	  tests/clients/python/requirements.in -o tests/clients/python/requirements.lock
	npm install --silent --package-lock-only --omit-lockfile-registry-resolved --prefix tests/clients/typescript
	node tests/clients/typescript/tidy-lock.mjs

.PHONY: image
image: ## Build the image and run it (needs root where there is no Docker engine)
	sh docker/image.sh
