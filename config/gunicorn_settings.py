"""How gunicorn serves the logbook, in the demo and in production alike."""

from pathlib import Path

from config import env

bind = env.text("BIND", "127.0.0.1:8000")
worker_class = "gthread"
workers = env.number("WEB_PROCESSES", 2)
threads = env.number("WEB_THREADS", 4)
# One copy of the libraries in memory, and a wrong setting ends the start at once.
preload_app = True
timeout = 120
graceful_timeout = 20
loglevel = env.text("WEB_LOG_LEVEL", "info")
control_socket_disable = True
# gunicorn's heartbeat file must not wait for a disk.
if Path("/dev/shm").is_dir():
    worker_tmp_dir = "/dev/shm"
