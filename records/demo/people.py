"""The demo's log-ins, one per role."""

from dataclasses import dataclass

PASSWORD = "demo-of-the-logbook"


@dataclass(frozen=True, slots=True)
class DemoLogin:
    username: str
    role: str
    password: str = PASSWORD


DEMO_LOGINS = (
    DemoLogin("planner", "planner"),
    DemoLogin("fitter", "fitter"),
    DemoLogin("engineer", "reliability engineer"),
    DemoLogin("manager", "manager"),
    DemoLogin("administrator", "administrator"),
)
