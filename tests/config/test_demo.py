"""The demo's own set-up: a key made once, and no log-ins of a plant that is not it."""

import stat

from config import demo


def test_the_secret_key_is_made_once_and_for_its_owner_only(monkeypatch, tmp_path):
    monkeypatch.setenv("DATA_DIR", str(tmp_path / "new"))
    monkeypatch.delenv("SECRET_KEY", raising=False)
    demo.secret_key_make()
    path = tmp_path / "new" / "secret-key"
    key = path.read_text()
    assert len(key) >= 50
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    demo.secret_key_make()
    assert path.read_text() == key


def test_a_key_that_the_environment_gives_is_left_alone(monkeypatch, tmp_path):
    monkeypatch.setenv("DATA_DIR", str(tmp_path))
    monkeypatch.setenv("SECRET_KEY", "given")
    demo.secret_key_make()
    assert not (tmp_path / "secret-key").exists()


def test_no_log_in_is_shown_for_a_database_without_the_demo(db, capsys, monkeypatch):
    monkeypatch.setattr("django.db.connections.close_all", lambda: None)
    demo.logins_print()
    assert capsys.readouterr().out == ""
