"""One line of the permission matrix: an address and what each role gets there.

The six answers stand in the order of ROLES. `of` names the row of permission_world.py
that the address is about; an address with several such parts names each,
`{"pk": "repair", "line_pk": "cost_line"}`, and `=stopped` is that very word.
`data` is the smallest form that shows whether a POST is taken or refused; `query`
follows the address. Without `post` the address takes none.
"""

from dataclasses import dataclass, field

ROLES = (
    "logged out",
    "planner",
    "engineer",
    "manager",
    "administrator",
    "planner of another site",
)

ALL = "302 200 200 200 200 200"
OWN_SITE = "302 200 200 200 200 404"
OPEN = "200 200 200 200 200 200"
REGISTER = "302 403 200 403 200 403"
REGISTER_DONE = "302 403 302 403 302 403"
LOGGERS = "302 200 200 403 403 404"
LOGGERS_DONE = "302 302 302 403 403 404"
ENGINEER = "302 403 200 403 403 403"
ENGINEER_DONE = "302 403 302 403 403 403"
POST_ONLY = "302 405 405 405 405 405"
IMPORTERS = "302 403 403 403 200 403"
IMPORTERS_DONE = "302 403 403 403 302 403"
MANAGERS_OWN = "302 404 404 200 404 404"
ADMINISTRATION = "302 403 403 403 200 403"
ADMINISTRATION_DONE = "302 403 403 403 302 403"


@dataclass(frozen=True, slots=True)
class Row:
    """What each role gets at one address."""

    name: str
    get: str
    post: str = ""
    of: str | dict[str, str] = ""
    data: dict[str, object] = field(default_factory=dict)
    query: dict[str, object] = field(default_factory=dict)
