# Everything a fresh machine needs: Python 3.11 and make. Packages come from the Python registry by pip.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
JOB ?= site_data/jobs/heron-fold.yml
OUT ?= build/handbook
FAST := tests/units tests/reference tests/output tests/compute tests/render/test_json_text.py tests/test_imports_one_way.py
COUNT ?= 200
CASES ?= 10000
FAULTS ?= 1000

.PHONY: handbook test test-fast proofs attack bench faults mutate strict lint types setup serve clean

handbook: $(VENV)/.ready
	$(BIN)/slackloop build $(JOB) -o $(OUT)
	@echo "Open $(OUT)/index.html in a browser, or print $(OUT)/handbook.pdf"

test: $(VENV)/.ready-dev
	$(BIN)/python -m compileall -q generator
	$(MAKE) --no-print-directory -j 2 lint types strict
	$(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder

# What a change of figures, units, folders or codes breaks first.
test-fast: $(VENV)/.ready-dev
	$(BIN)/pytest -m "not slow and not browser and not proof" $(FAST)

# The long forms of tests of which `make test` has a short one: every PDF, every box, large jobs, thousands of figures.
proofs: $(VENV)/.ready-dev
	$(BIN)/pytest -m proof -n 2 --dist loadfile --no-loadscope-reorder

# Longer proofs: builds that are stopped at random moments, and hostile jobs and content; `make attack COUNT=20 CASES=500`
# is a short one.
attack: $(VENV)/.ready-dev
	$(BIN)/python tests/attack/kills.py --count $(COUNT)
	$(BIN)/python tests/attack/hostile.py --count $(CASES)

serve: $(VENV)/.ready
	$(BIN)/slackloop serve $(JOB)

bench: $(VENV)/.ready-dev
	PYTHONPATH=tests $(BIN)/python tests/benchmarks/check_core.py
	PYTHONPATH=tests $(BIN)/python tests/benchmarks/budgets.py

# A thousand faults in networks of resistors, each looked for by its readings; `make faults FAULTS=200` is a short one.
faults: $(VENV)/.ready-dev
	PYTHONPATH=tests $(BIN)/python tests/study/faults.py --cases $(FAULTS)

mutate: $(VENV)/.ready-dev
	PYTHONPATH=tests $(BIN)/python -m mutation.run $(PART)

strict: $(VENV)/.ready-dev
	$(BIN)/slackloop build $(JOB) -o build/demo --strict

lint: $(VENV)/.ready-dev
	$(BIN)/ruff check generator tests

types: $(VENV)/.ready-dev
	$(BIN)/mypy

setup: $(VENV)/.ready-dev

$(VENV)/.ready: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	@touch $@

$(VENV)/.ready-dev: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[dev]'
	@touch $@ $(VENV)/.ready

clean:
	rm -rf $(VENV) build site dist .mypy_cache .pytest_cache .ruff_cache .hypothesis
