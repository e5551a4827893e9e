# Every command the project needs. `make demo` and `make test` do their own set-up.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
LOCK := config/requirements.txt
LOCK_DEV := config/requirements-dev.txt
PIP := $(BIN)/python -m pip install -qq --disable-pip-version-check --require-hashes
PORT ?= 8000

.PHONY: help demo test lint lock format bench calibrate clean check-migrations

help:
	@echo "make demo       set up everything and serve the demo plant on 127.0.0.1:$(PORT)"
	@echo "make test       set up everything and run the whole suite"
	@echo "make lint       style, types, import direction, templates"
	@echo "make format     put code and templates into the project's style"
	@echo "make bench      measure speed as ratios"
	@echo "make calibrate  measure how often the intervals hold the truth"
	@echo "make lock       renew the locked dependencies (needs uv)"
	@echo "make clean      remove the environment, the demo's data and every cache"

$(VENV)/.made-with:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Python 3.11 or newer is needed; name one with: make PYTHON=python3.12 ...")'
	$(PYTHON) -m venv $(VENV)
	touch $@

$(VENV)/.installed: $(LOCK) | $(VENV)/.made-with
	@echo "Installing the locked packages; the first time takes a minute or two."
	$(PIP) -r $(LOCK)
	touch $@

$(VENV)/.installed-dev: $(LOCK_DEV) | $(VENV)/.made-with
	@echo "Installing the locked packages; the first time takes a minute or two."
	$(PIP) -r $(LOCK_DEV)
	touch $@ $(VENV)/.installed

demo: $(VENV)/.installed
	@$(BIN)/python -m config.demo --port $(PORT)

# Compiled modules are kept: tests start Python dozens of times.
test: export PYTHONDONTWRITEBYTECODE =
test: $(VENV)/.installed-dev
	$(BIN)/python -m pytest -n auto --dist loadfile

lint: $(VENV)/.installed-dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/lint-imports
	$(BIN)/mypy config plant records analytics
	git ls-files 'templates/*.html' | xargs -r $(BIN)/djade --check --target-version 5.2

check-migrations: $(VENV)/.installed-dev
	DEBUG=true $(BIN)/python manage.py makemigrations --check --dry-run

format: $(VENV)/.installed-dev
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .
	git ls-files 'templates/*.html' | xargs -r $(BIN)/djade --target-version 5.2

bench: $(VENV)/.installed-dev
	$(BIN)/python -m tests.bench $(ONLY)

calibrate: $(VENV)/.installed-dev
	$(BIN)/python -m tests.calibration $(RUNS)

lock:
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header pyproject.toml -o $(LOCK)
	uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --group dev pyproject.toml -o $(LOCK_DEV)

clean:
	rm -rf $(VENV) .data .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis
