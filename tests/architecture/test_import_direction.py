"""Imports point one way: config, analytics, records, plant; the mathematics alone."""

import tomllib

from importlinter.cli import EXIT_STATUS_ERROR, EXIT_STATUS_SUCCESS, lint_imports

from tests.architecture.places import ROOT


def contracts() -> dict[str, dict]:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return {c["name"]: c for c in settings["tool"]["importlinter"]["contracts"]}


def test_every_contract_holds(monkeypatch):
    monkeypatch.chdir(ROOT)
    status = lint_imports(config_filename="pyproject.toml", no_cache=True)
    assert status == EXIT_STATUS_SUCCESS


def test_the_layers_are_those_of_the_design():
    layers = contracts()["Imports point one way"]["layers"]
    assert layers == ["config", "analytics", "records", "plant"]


def test_the_mathematics_knows_neither_django_nor_our_apps():
    contract = contracts()["Life statistics know no Django"]
    assert contract["source_modules"] == ["analytics.life"]
    assert {"django", "plotly", "config", "records", "plant"} <= set(
        contract["forbidden_modules"]
    )


def test_a_contract_turned_round_is_seen_as_broken(monkeypatch, tmp_path):
    monkeypatch.chdir(ROOT)
    wrong = tmp_path / "wrong.ini"
    wrong.write_text(
        "[importlinter]\nroot_packages =\n    plant\n    records\n"
        "[importlinter:contract:1]\nname = turned round\ntype = layers\n"
        "layers =\n    plant\n    records\n"
    )
    status = lint_imports(config_filename=str(wrong), no_cache=True)
    assert status == EXIT_STATUS_ERROR
