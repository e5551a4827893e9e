"""Runs web server and background worker on this computer until one of them stops."""

import os
import signal
import socket
import subprocess
import sys
import time
from argparse import ArgumentParser
from collections.abc import Callable

from config import env, probe

HOST = "127.0.0.1"
START_SECONDS = 90
STOP_SECONDS = 15
Children = dict[str, "subprocess.Popen[bytes]"]


def say(sentence: str) -> None:
    sys.stdout.write(sentence + "\n")
    sys.stdout.flush()


def port_check(port: int) -> None:
    """End with a sentence when `port` cannot be listened on."""
    if not 0 < port < 65536:
        sys.exit(f"Port {port} does not exist; choose one from 1024 to 65535.")
    with socket.socket() as listener:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((HOST, port))
        except OSError as error:
            sys.exit(
                f"Port {port} on {HOST} cannot be used ({error.strerror}). Stop what "
                f"uses it, or choose another, for example: make demo PORT={port + 1}"
            )


def child_start(*arguments: str, **environment: str) -> "subprocess.Popen[bytes]":
    # Out of the terminal's group: Ctrl-C reaches this process alone, which then
    # asks each child to stop once and in order.
    return subprocess.Popen(
        [sys.executable, *arguments],
        env={**os.environ, **environment},
        stdin=subprocess.DEVNULL,
        start_new_session=True,
    )


def children_check(children: Children) -> None:
    for name, child in children.items():
        if child.poll() is not None:
            sys.exit(
                f"The {name} ended by itself (exit code {child.returncode}), so the "
                "logbook stops. The lines above say why."
            )


def children_stop(children: Children) -> None:
    for signal_number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(signal_number, signal.SIG_IGN)
    for child in children.values():
        child.terminate()
    deadline = time.monotonic() + STOP_SECONDS
    for child in children.values():
        try:
            child.wait(max(0.1, deadline - time.monotonic()))
        except subprocess.TimeoutExpired:
            os.killpg(child.pid, signal.SIGKILL)
            child.wait()


def wait_for_health(children: Children, bind: str) -> None:
    deadline = time.monotonic() + START_SECONDS
    while (state := probe.health(bind)) != "ok":
        children_check(children)
        if time.monotonic() > deadline:
            sys.exit(f"The app did not come up in {START_SECONDS} s: {state}.")
        time.sleep(0.2)


def serve(port: int, when_up: Callable[[], None] | None = None) -> None:
    """Serve until Ctrl-C, SIGTERM or the end of a child; then stop what is left."""
    port_check(port)
    bind = f"{HOST}:{port}"
    children: Children = {}
    for signal_number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(signal_number, signal.default_int_handler)
    try:
        children["background worker"] = child_start("manage.py", "db_worker")
        children["web server"] = child_start(
            *("-m", "gunicorn", "--config", "python:config.gunicorn_settings"),
            "config.wsgi",
            BIND=bind,
            WEB_LOG_LEVEL=env.text("WEB_LOG_LEVEL", "warning"),
        )
        wait_for_health(children, bind)
        say(f"\nThe logbook is at http://{bind}/")
        if when_up:
            when_up()
        say("Stop it with Ctrl-C.\n")
        while True:
            children_check(children)
            time.sleep(0.3)
    except KeyboardInterrupt:
        say("\nStopping.")
    finally:
        children_stop(children)


if __name__ == "__main__":
    parser = ArgumentParser(prog="python -m config.serve", description=__doc__)
    parser.add_argument("--port", type=int, default=8000)
    serve(parser.parse_args().port)
