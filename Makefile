# Two commands do everything on a fresh machine: `make demo` and `make test`.
# Needed: Python 3.11 or newer (name another with PYTHON=...), make, and a package index.

PYTHON ?= python3
VENV := .venv
PY := $(VENV)/bin/python
PIP := $(PY) -m pip --disable-pip-version-check --quiet

.PHONY: score check-tables milestone confidence demo test setup setup-test models lint format lock docs documents speed-documents speed-archive ask-score speed speed-reading speed-speech speed-bench speed-photos compare clean help

help:
	@echo "make demo    set up everything and run the invented demonstration job"
	@echo "make test    set up everything and run the tests"
	@echo "make lint    ruff, mypy, import-linter, documents"
	@echo "make score   how well remarks are read, on every truth set, and at each milestone"
	@echo "make confidence  count how often each rule is right, and print how true its confidence is"
	@echo "make check-tables  our tables beside open ones, with every disagreement explained"
	@echo "make docs    write the real output of commands into README.md and DEVELOPERS.md"
	@echo "make documents  make the documents of the demonstration job again"
	@echo "make speed   measure the full counts"

demo: setup
	@$(PY) -m notebook demo --timings

test: setup-test
	@$(PY) -m pytest -n 2 --dist loadgroup

setup: $(VENV)/.ready models

setup-test: $(VENV)/.ready-test models

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Python 3.11 or newer is needed; name it with: make PYTHON=python3.12 demo"; exit 1; }
	@echo "Making a virtual environment in $(VENV)"
	@$(PYTHON) -m venv $(VENV)

$(VENV)/.ready: requirements.lock pyproject.toml | $(VENV)/bin/python
	@echo "Installing what the lock file pins (some hundred megabytes, once)"
	@$(PIP) install --require-hashes --no-deps -r requirements.lock
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.ready-test: $(VENV)/.ready requirements-test.lock tests/outside/no-deps.lock
	@echo "Installing what the tests need"
	@$(PIP) install --require-hashes --no-deps -r requirements-test.lock
	@$(PIP) install --require-hashes --no-deps -r tests/outside/no-deps.lock
	@touch $@

models: $(VENV)/.ready
	@$(PY) models/place.py

score: setup-test
	@$(PY) tests/score_reading.py && echo && $(PY) -m tests.milestones

milestone: setup-test
	@test -n "$(WHAT)" || { echo 'Say what was done: make milestone WHAT="slips of the ear read by sound"'; exit 1; }
	@$(PY) -m tests.milestones --keep "$(WHAT)"

check-tables: setup-test
	@$(PY) -m tests.checking_tables

compare: setup-test
	@PYTHONHASHSEED=0 $(PY) -m tests.compare_quantities
	@$(PY) -m tests.compare_negation

confidence: setup-test
	@$(PY) -m tests.measuring_confidence --write

lint: setup-test
	@$(VENV)/bin/ruff check .
	@$(VENV)/bin/ruff format --check .
	@$(VENV)/bin/mypy
	@$(VENV)/bin/lint-imports --no-logo >/dev/null || $(VENV)/bin/lint-imports

speed: speed-reading speed-speech speed-bench speed-photos speed-documents speed-archive

speed-reading: setup-test
	@$(PY) -m tests.speed.reading

speed-speech: setup-test
	@$(PY) tests/measure_speech.py
	@$(PY) -m tests.speed.speech_table

speed-archive: setup-test
	@$(PY) -m tests.speed.archive

ask-score: setup-test
	@$(PY) -m tests.history.question_scores --misses

speed-documents: setup-test
	@$(PY) -m tests.speed.documents

documents: setup-test
	@$(PY) -m tests.making_documents
	@$(PY) -m tests.drawing_bench

speed-photos: setup-test
	@$(PY) -m tests.speed.photos

speed-bench: setup-test
	@$(PY) -m tests.speed.bench

format:
	@$(VENV)/bin/ruff check --fix . && $(VENV)/bin/ruff format .

docs: setup-test
	@$(VENV)/bin/cog -P -r README.md DEVELOPERS.md

lock:
	uv pip compile --universal --generate-hashes --python-version 3.11 --no-header --no-annotate --no-emit-index-url -q pyproject.toml --group build -o requirements.lock
	uv pip compile --universal --generate-hashes --python-version 3.11 --no-header --no-annotate --no-emit-index-url -q pyproject.toml --group build --group test -o requirements-test.lock

clean:
	rm -rf build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis .coverage
