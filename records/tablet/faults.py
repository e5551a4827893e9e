"""What is wrong with an entry, each fault beside the field it is about."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError

# Steps of the form and the facts of a repair typed there, by the services' words.
FACTS_OF_STEP: dict[str, tuple[str, ...]] = {
    "noticed": (
        "reported_at",
        "stopped_at",
        "category",
        "failure_mode",
        "impact",
        "detection",
        "operating_state",
        "release",
    ),
    "found": ("item", "mechanism", "cause"),
    "done": ("activity", "also_renewed"),
    "hours": (
        "returned_at",
        "active_hours",
        "delay_hours",
        "man_hours",
        "meter_hours",
        "is_new_meter",
    ),
    "references": (
        "permit_reference",
        "isolation_reference",
        "decontamination_reference",
    ),
}
PATHS: dict[str, str] = {
    name: f"{step}.{name}" for step, names in FACTS_OF_STEP.items() for name in names
} | {
    # A reading of the meter is taken at the stop, which is refused by its own name.
    "read_at": "hours.meter_hours",
    "plate_check": "plate.check",
    "text": "text",
    "pump": "pump",
}
LAST_STEP = "sign"


@dataclass(frozen=True, slots=True)
class Fault:
    """`field` is a path in the payload, such as `done.out.0.why_removed`."""

    field: str
    text: str

    @property
    def step(self) -> str:
        """The step of the form; what belongs to none is shown where it is signed."""
        return self.field.partition(".")[0] or LAST_STEP

    def as_json(self) -> dict[str, str]:
        return {"step": self.step, "field": self.field, "text": self.text}


class Refused(Exception):
    """An entry that cannot be; nothing of it is stored."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = list(faults)
        super().__init__("; ".join(fault.text for fault in self.faults))


def refuse(faults: Iterable[Fault]) -> None:
    """Raise Refused when there is any fault."""
    faults = list(faults)
    if faults:
        raise Refused(faults)


def faults_of(
    error: ValidationError,
    paths: Mapping[str, str] = PATHS,
    elsewhere: str = "",
) -> Iterator[Fault]:
    """The faults of a refusal; what names no known field goes to `elsewhere`."""
    if not hasattr(error, "error_dict"):
        yield from (Fault(elsewhere, text) for text in error.messages)
        return
    for name, texts in error.message_dict.items():
        path = elsewhere if name == NON_FIELD_ERRORS else paths.get(name, elsewhere)
        yield from (Fault(path, text) for text in texts)
