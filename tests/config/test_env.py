"""Each reader of the environment: its value, its default and its sentence."""

import pytest
from django.core.exceptions import ImproperlyConfigured

from config import env


def test_text_is_stripped_and_an_empty_value_counts_as_not_set(monkeypatch):
    monkeypatch.setenv("ZONE", "  Europe/Paris ")
    assert env.text("ZONE", "UTC") == "Europe/Paris"
    monkeypatch.setenv("ZONE", " ")
    assert env.text("ZONE", "UTC") == "UTC"


@pytest.mark.parametrize(
    ("word", "value"), [("1", True), ("True", True), ("on", True), ("no", False)]
)
def test_flag_reads_words_of_either_case(monkeypatch, word, value):
    monkeypatch.setenv("SWITCH", word)
    assert env.flag("SWITCH", not value) is value


def test_an_empty_flag_keeps_its_default(monkeypatch):
    monkeypatch.setenv("HTTPS_ONLY", "")
    assert env.flag("HTTPS_ONLY", True) is True


def test_flag_refuses_other_words(monkeypatch):
    monkeypatch.setenv("SWITCH", "maybe")
    with pytest.raises(ImproperlyConfigured, match=r"SWITCH must be true or false, no"):
        env.flag("SWITCH")


@pytest.mark.parametrize("word", ["ten", "1.5", "-1", "1_0", "٣"])
def test_number_refuses_what_is_no_whole_number(monkeypatch, word):
    monkeypatch.setenv("LIMIT", word)
    with pytest.raises(ImproperlyConfigured, match="LIMIT must be a whole number"):
        env.number("LIMIT", 8)


def test_number_reads_digits_and_has_a_default(monkeypatch):
    assert env.number("LIMIT", 8) == 8
    monkeypatch.setenv("LIMIT", "12")
    assert env.number("LIMIT", 8) == 12


def test_listed_drops_blanks(monkeypatch):
    monkeypatch.setenv("HOSTS", "one, two,, ")
    assert env.listed("HOSTS") == ["one", "two"]


def test_secret_comes_from_the_value_then_the_file_then_the_default_file(
    monkeypatch, tmp_path
):
    default, named = tmp_path / "default", tmp_path / "named"
    assert env.secret("KEY", default) == ""
    default.write_text("from the default file\n")
    assert env.secret("KEY", default) == "from the default file"
    named.write_text("from the named file\n")
    monkeypatch.setenv("KEY_FILE", str(named))
    assert env.secret("KEY", default) == "from the named file"
    monkeypatch.setenv("KEY", "from the value")
    assert env.secret("KEY", default) == "from the value"


def test_secret_says_which_file_cannot_be_read(monkeypatch, tmp_path):
    monkeypatch.setenv("KEY_FILE", str(tmp_path / "absent"))
    with pytest.raises(
        ImproperlyConfigured, match=r"KEY_FILE points to .*absent.*No such file"
    ):
        env.secret("KEY", tmp_path / "default")


def test_secret_refuses_a_file_that_is_not_text(monkeypatch, tmp_path):
    (tmp_path / "noise").write_bytes(b"\xff\xfe\x00")
    monkeypatch.setenv("KEY_FILE", str(tmp_path / "noise"))
    with pytest.raises(ImproperlyConfigured, match="not UTF-8 text"):
        env.secret("KEY", tmp_path / "default")
