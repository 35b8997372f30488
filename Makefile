# Build, show and check gylebook.  A virtual environment is made on the first call and
# filled again only when the requirements change.

PYTHON  ?= python3
VENV    ?= .venv
BIN     := $(VENV)/bin
PIP     := $(BIN)/python -m pip --quiet --disable-pip-version-check
COMPILE := $(BIN)/pip-compile --quiet --generate-hashes --strip-extras --allow-unsafe \
           --build-deps-for editable --no-header --no-emit-index-url --no-emit-find-links
DEPENDENCIES := pyproject.toml

.PHONY: help demo test test-long checks bench format requirements clean chromium

help: ## say what can be made (this text)
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-13s %s\n", $$1, $$2 }' Makefile

demo: $(VENV)/demo-ready ## plan an invented gyle, brew its day, open the book; DEMO_ONCE=1 ends before that
	$(BIN)/gylebook demo
	$(if $(DEMO_ONCE),,$(BIN)/gylebook serve --book demo-book/demo.gyle --port 0)

test: $(VENV)/test-ready chromium ## check style, types and borders between rooms, then run the tests
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo
	$(BIN)/pytest -n auto -p no:benchmark --hold-checks

# Only root on Debian may bring it; without it the tests say in a line what they did not look at.
chromium:
	@command -v chromium chromium-browser google-chrome >/dev/null \
	    || { [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null \
	         && apt-get update -qq && apt-get install -y -qq --no-install-recommends chromium; } || true

checks: $(VENV)/test-ready ## write docs/checks.md, the record of what is checked against the world
	$(BIN)/pytest -n auto -p no:benchmark --write-checks

test-long: $(VENV)/test-ready $(VENV)/long-ready bench ## run the slow tests and the benchmarks
	$(BIN)/pytest -n auto -p no:benchmark -m long

bench: $(VENV)/test-ready ## time the forecast, the conditioning and the solver
	$(BIN)/pytest benchmarks --benchmark-only

format: $(VENV)/test-ready ## put the code into the shape that `make test` asks for
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

# The demo's set is compiled under the test set, so that both agree on every version.
requirements: $(VENV)/bin/python ## pin versions and hashes anew; UPGRADE=--upgrade takes newer ones
	$(PIP) install pip-tools
	$(COMPILE) $(UPGRADE) --extra test -o requirements/test.txt $(DEPENDENCIES)
	$(COMPILE) $(UPGRADE) -c requirements/test.txt -o requirements/demo.txt $(DEPENDENCIES)
	$(COMPILE) $(UPGRADE) --extra test --extra samplers -c requirements/test.txt -o requirements/long.txt $(DEPENDENCIES)
	for file in requirements/*.txt; do \
	    sed -i -e '/^# Made by/d' -e '1i # Made by `make requirements` from pyproject.toml; not edited by hand.' $$file; \
	done

clean: ## remove the environment, caches and the demo's book
	rm -rf $(VENV) .venv-demo demo-book build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis .benchmarks .import_linter_cache
	find src tests -name __pycache__ -type d -prune -exec rm -rf {} +

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)

# Bytecode is left to the first import: compiling all of SciPy takes longer than the demo.
$(VENV)/%-ready: requirements/%.txt pyproject.toml | $(VENV)/bin/python
	$(PIP) install --no-compile --require-hashes -r $<
	$(PIP) install --no-deps --no-build-isolation -e .
	touch $@
