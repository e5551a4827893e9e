"""What the terminal shows of a refused page and of a broken one."""

from tests.config.running import python_run

ANSWER = """
import django; django.setup()
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.utils.log import log_response
answer = HttpResponse(status={status})
try:
    raise {error}
except Exception as error:
    log_response("/costs/", response=answer, exception=error)
"""


def said(tmp_path, status, error, debug="false"):
    """Error output when Django's own door tells the log of such an answer."""
    code = ANSWER.format(status=status, error=error)
    run = python_run(code, tmp_path, SECRET_KEY="key", DEBUG=debug, HTTPS_ONLY="false")
    return run.stderr


def test_a_refusal_is_one_line_in_the_log(tmp_path):
    for debug in ("true", "false"):
        lines = said(tmp_path, 403, "PermissionDenied('no')", debug).splitlines()
        assert lines == ["/costs/"]


def test_a_fault_of_the_program_keeps_its_traceback(tmp_path):
    assert "Traceback" in said(tmp_path, 500, "ValueError('broken')")
