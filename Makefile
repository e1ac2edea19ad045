# One target a task; `make help` lists them.
SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
PY := .venv/bin/python
PINS := pyproject.toml .ci/constraints.txt .ci/system.txt .ci/setup
export PYTHON

# The parts of `make audit`, each of some minutes; audit-kills and so on run one alone.
AUDIT_drift := tests/audit/test_drift_coverage.py
AUDIT_mistakes := tests/audit/test_forty_mistakes.py
AUDIT_hostile := tests/hostile/test_browser.py tests/hostile/test_documents.py
AUDIT_verify := tests/test_verify.py
DISK := tests/audit/test_failing_disk.py
EACH := $(DISK)::test_a_disk_that_refuses_any_step_leaves_what_stands_whole
AUDIT_disk-once-one := '$(EACH)[0-once]' '$(EACH)[1-once]'
AUDIT_disk-once-two := $(DISK) -k 'not from and not 0-once and not 1-once'
AUDIT_disk-lasting := $(DISK) -k from
AUDIT_kills := tests/audit/test_kills.py tests/audit/test_at_once.py
AUDIT_cache := tests/audit/test_edits.py tests/audit/test_damaged_state.py
AUDIT_cluster := tests/sites/test_cluster.py
AUDIT_bytes := tests/audit/test_same_bytes.py
SHOPS := tests/audit/test_no_leaks.py::test_no_canary_is_out_of_place_in_any_shop
AUDIT_leaks-one := '$(SHOPS)[1]' '$(SHOPS)[2]'
AUDIT_leaks-two := '$(SHOPS)[3]' '$(SHOPS)[4]'
AUDIT_leaks-three := '$(SHOPS)[5]'
AUDITS := drift mistakes hostile verify disk-once-one disk-once-two disk-lasting kills cache cluster bytes
AUDITS += leaks-one leaks-two leaks-three

.PHONY: help setup build check lint test quick audit bench format words renew pins wheel clean

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

audit: $(AUDITS:%=audit-%) ## run the long proofs, part by part, and record them

audit-%: .venv/.ready-test
	@DOSSIER_AUDIT=$* $(PY) -m pytest -p tests.audit.recording -n auto -m audit $(AUDIT_$*)

bench: .venv/.ready-test ## time whole shops: a first build, an idle one, one after a changed note
	@$(PY) -m tests.bench
	@$(PY) -m tests.bench_pdf
	@$(PY) -m tests.bench_analysis

format: .venv/.ready-test ## lay out the code
	@$(PY) -m ruff check --select I --fix
	@$(PY) -m ruff format

words: .venv/.ready-test ## renew the template of all translations and what is compiled from them
	@$(PY) -m tests.makers.make_catalogue

renew: words ## renew all that is made from the code: the words, the guide's page of the commands
	@$(PY) -m tests.makers.make_commands

pins: ## renew .ci/constraints.txt
	@.ci/pins

wheel: .venv/.ready-build ## build the wheel into dist/
	@$(PY) -m pip wheel -q --no-deps -w dist .

clean: ## remove what was built but never issued, and the tools' caches
	@find build -mindepth 1 ! -name .gitkeep ! -path build/issued ! -path 'build/issued/*' -delete
	@rm -rf dist .mypy_cache .pytest_cache .ruff_cache .hypothesis
	@find dossier tests -name __pycache__ -prune -exec rm -rf {} +
