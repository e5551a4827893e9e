"""Web server and worker start together, end together and say why in a sentence."""

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time

import pytest

from config import serve
from tests.config.running import CLEARED, ROOT

START_SECONDS = 60


@pytest.fixture
def free_port():
    with socket.socket() as listener:
        listener.bind((serve.HOST, 0))
        return listener.getsockname()[1]


def environment_of(folder):
    kept = {name: value for name, value in os.environ.items() if name not in CLEARED}
    return {
        **kept,
        "DATA_DIR": str(folder),
        "SECRET_KEY": "a-key-for-this-test",
        "HTTPS_ONLY": "false",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }


@pytest.fixture
def environment(tmp_path):
    return environment_of(tmp_path)


@pytest.fixture(scope="module")
def migrated(tmp_path_factory):
    """A database file with its tables, made once for this file."""
    folder = tmp_path_factory.mktemp("migrated")
    subprocess.run(
        [sys.executable, "manage.py", "migrate", "--verbosity", "0"],
        cwd=ROOT,
        env=environment_of(folder),
        check=True,
    )
    return folder / "logbook.sqlite3"


@pytest.fixture
def tables(migrated, tmp_path):
    """The tables, and a note that static files were collected: none is asked for."""
    shutil.copy(migrated, tmp_path)
    (tmp_path / "static").mkdir()
    note = {"paths": {}, "version": "1.1", "hash": ""}
    (tmp_path / "static" / "staticfiles.json").write_text(json.dumps(note))


@pytest.fixture
def served(tables, environment, free_port, tmp_path):
    """The running process, once it has said where the logbook is."""
    said = tmp_path / "said"
    with said.open("w") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "config.serve", "--port", str(free_port)],
            cwd=ROOT,
            env=environment,
            stdout=output,
            stderr=subprocess.STDOUT,
        )
    deadline = time.monotonic() + START_SECONDS
    while "Stop it with Ctrl-C" not in said.read_text():
        assert process.poll() is None, said.read_text()
        assert time.monotonic() < deadline, said.read_text()
        time.sleep(0.2)
    yield process, said, free_port
    if process.poll() is None:
        process.terminate()
        process.wait(serve.STOP_SECONDS + 5)


def children_of(process):
    """Both parts by name; a part that has just begun still bears its parent's name."""
    deadline = time.monotonic() + START_SECONDS
    while True:
        listed = subprocess.run(
            ["ps", "-o", "pid=,args=", "--ppid", str(process.pid)],
            capture_output=True,
            text=True,
            check=True,
        )
        found = {
            "worker" if "db_worker" in line else "web": int(line.split()[0])
            for line in listed.stdout.splitlines()
        }
        if len(found) == 2 or time.monotonic() > deadline:
            return found
        time.sleep(0.2)


def is_free(port):
    with socket.socket() as caller:
        return caller.connect_ex((serve.HOST, port)) != 0


@pytest.mark.parametrize("signal_number", [signal.SIGINT, signal.SIGTERM])
def test_one_signal_stops_both_parts(served, signal_number):
    process, said, port = served
    assert f"The logbook is at http://127.0.0.1:{port}/" in said.read_text()
    assert set(children_of(process)) == {"worker", "web"}
    process.send_signal(signal_number)
    assert process.wait(serve.STOP_SECONDS + 5) == 0
    assert "Stopping." in said.read_text()
    assert is_free(port)


def test_when_one_part_ends_the_other_is_stopped_with_a_sentence(served):
    process, said, port = served
    os.kill(children_of(process)["worker"], signal.SIGKILL)
    assert process.wait(serve.STOP_SECONDS + 5) == 1
    assert "The background worker ended by itself (exit code -9)" in said.read_text()
    assert is_free(port)


def test_a_taken_port_is_refused_before_anything_starts():
    with socket.socket() as listener:
        listener.bind((serve.HOST, 0))
        listener.listen()
        port = listener.getsockname()[1]
        with pytest.raises(SystemExit) as stopped:
            serve.port_check(port)
    assert f"Port {port} on 127.0.0.1 cannot be used" in stopped.value.code
    assert f"make demo PORT={port + 1}" in stopped.value.code


@pytest.mark.parametrize("port", [0, 70000])
def test_a_port_that_does_not_exist_is_refused(port):
    with pytest.raises(SystemExit, match="does not exist"):
        serve.port_check(port)
