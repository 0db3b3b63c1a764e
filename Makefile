# Every target makes ready what it needs, in .venv; `.ci/setup` says how.
PYTHON ?= python3
export PYTHON

# Programs are started as modules: their own start lines break when the clone is moved.
py := .venv/bin/python
# More arguments for pytest: make test PYTEST="-k plan"
PYTEST ?=
# One more worker than there are processors: tests that drive a browser mostly wait.
workers := $(shell expr `nproc` + 1)

.PHONY: help setup run quick test behaviour bench soak mutants pictures lint types lock clean

help: ## say what there is
	@sed -n 's/^\([a-z]*\):.*## /  make \1|/p' Makefile | column -t -s '|'

setup: ## make .venv ready for tests, and stop
	@bash .ci/setup test

run: ## start the portal (PORTAL_PORT names another port)
	@bash .ci/setup run
	@$(py) -m portal serve

quick: setup ## check what was touched: its style, its types, its rooms' tests
	$(py) -m tests.rooms $(PYTEST)

test: lint ## check style, types and behaviour
	@$(MAKE) --no-print-directory -j 2 types behaviour

# A test starts many programs: each reads what one of them has compiled, whatever the environment says.
quick behaviour: export PYTHONDONTWRITEBYTECODE :=

# Types need one processor for the time in which the tests are gathered and need no other.
behaviour: setup
	$(py) -m pytest -n $(workers) --dist loadfile --no-loadscope-reorder $(PYTEST)

bench: setup ## measure times and sizes
	$(py) -m pytest -m bench -rA $(PYTEST)

soak: setup ## run for hours, looking for leaks, rare faults and what no test notices
	$(py) -m pytest -m soak -rA $(PYTEST)
	$(MAKE) mutants

# Which rooms, and how many changes in each: make mutants MUTANTS="--sample 0 portal/plan/rules"
MUTANTS ?=

mutants: setup ## list what no test notices in .mutants/survivors.md; goes on where it was stopped
	@test -e .mutants/library/ready || { $(PYTHON) -m venv --clear .mutants/library && \
		.mutants/library/bin/python -m pip install --quiet --disable-pip-version-check cosmic-ray==8.7.0 && \
		touch .mutants/library/ready; }
	$(py) -m tests.mutants $(MUTANTS)

pictures: setup ## take the README's pictures anew, from the demo
	$(py) -m tests.pictures

lint: setup ## check style
	$(py) -m ruff check .
	$(py) -m ruff format --check .

types: setup ## check types
	$(py) -m mypy

# The locks hold versions and hashes for every system and Python from 3.11 on, and no addresses.
compile := .venv/lock/bin/python -m uv pip compile pyproject.toml --upgrade --universal --python-version 3.11 \
	--generate-hashes --no-header --no-annotate --no-emit-index-url --quiet

lock: ## choose the newest versions that pyproject.toml allows, and write both locks
	$(PYTHON) -m venv .venv/lock
	.venv/lock/bin/python -m pip install --quiet --disable-pip-version-check uv==0.13.9
	$(compile) --output-file requirements.lock
	$(compile) --extra test --constraint requirements.lock --output-file requirements-test.lock

clean: ## remove what was made; data and settings stay
	rm -rf .venv .mutants .mypy_cache .pytest_cache .ruff_cache .hypothesis build dist *.egg-info
	find portal tests migrations -name __pycache__ -prune -exec rm -rf {} + 2>/dev/null || true
