# Two commands matter: `make demo` and `make test`. Both install what they need into .venv.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: demo test lint format docs bench clean
.DELETE_ON_ERROR:

demo: $(VENV)/.run
	$(BIN)/sparkout demo

test: $(VENV)/.dev
	$(BIN)/ruff check src tests tools benchmarks
	$(BIN)/ruff format --check src tests tools benchmarks
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	$(BIN)/python tools/reference.py --check
	$(BIN)/python tools/demo_picture.py --check
	$(BIN)/pytest -n 2

lint: $(VENV)/.dev
	$(BIN)/ruff check src tests tools benchmarks
	$(BIN)/ruff format --check src tests tools benchmarks
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache

format: $(VENV)/.dev
	$(BIN)/ruff check --fix src tests tools benchmarks
	$(BIN)/ruff format src tests tools benchmarks

docs: $(VENV)/.dev
	$(BIN)/python tools/reference.py
	$(BIN)/python tools/characteristics.py
	$(BIN)/python tools/demo_picture.py

bench: $(VENV)/.dev
	$(BIN)/python -m benchmarks

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "Sparkout needs Python 3.11 or later; '$(PYTHON)' is older. Try: make PYTHON=python3.11 $(MAKECMDGOALS)"; exit 2; }
	@$(PYTHON) -m venv $(VENV) || { \
	  echo "Python cannot make a virtual environment. On Debian or Ubuntu install the package python3-venv."; exit 2; }

$(VENV)/.run: requirements.lock pyproject.toml | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --editable .
	@$(BIN)/python -m compileall -q src   # or the first start pays for it
	@touch $@

$(VENV)/.dev: requirements-dev.lock $(VENV)/.run
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.lock
	@touch $@

clean:
	rm -rf $(VENV) out build dist
