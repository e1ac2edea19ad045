# One target a task; `make help` lists them.
SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
PY := .venv/bin/python
PINS := pyproject.toml .ci/constraints.txt .ci/system.txt .ci/setup
export PYTHON

.PHONY: help setup build check lint test quick audit bench format words pins wheel clean

help: ## list the targets
	@sed -nE 's/^([a-z]+):.*## (.*)/  make \1\t\2/p' Makefile | expand -t 16

setup: .venv/.ready-test ## make .venv, with all that building and testing need

.venv/.ready-build: $(PINS)
	@.ci/setup build

.venv/.ready-test: $(PINS)
	@.ci/setup test
	@touch .venv/.ready-build

build: .venv/.ready-build ## build the demo shop in content/ into build/
	@$(PY) -m dossier build --content content --out build

check: lint test ## all that continuous integration checks

lint: .venv/.ready-test
	@$(PY) -m ruff check
	@$(PY) -m mypy

test: .venv/.ready-test ## run every test
	@$(PY) -m pytest -n auto

quick: .venv/.ready-test ## run the quick tests: nothing built, no browser
	@$(PY) -m pytest -m "not slow and not browser"

audit: .venv/.ready-test ## run the long proofs
	@$(PY) -m pytest -n auto -m audit

bench: .venv/.ready-test ## time a first build, an idle one and one after a changed note
	@$(PY) tests/bench.py
	@$(PY) -m tests.bench_analysis

format: .venv/.ready-test ## lay out the code
	@$(PY) -m ruff check --select I --fix
	@$(PY) -m ruff format

words: .venv/.ready-test ## renew the template of all translations, dossier/words/messages.pot
	@$(PY) -m tests.makers.make_catalogue

pins: ## renew .ci/constraints.txt
	@.ci/pins

wheel: .venv/.ready-build ## build the wheel into dist/
	@$(PY) -m pip wheel -q --no-deps -w dist .

clean: ## remove what was built but never issued, and the tools' caches
	@find build -mindepth 1 ! -name .gitkeep ! -path build/issued ! -path 'build/issued/*' -delete
	@rm -rf dist .mypy_cache .pytest_cache .ruff_cache .hypothesis
	@find dossier tests -name __pycache__ -prune -exec rm -rf {} +
