"""What answers settle about an entry, laid over the payload that stays as it was."""

from dataclasses import asdict, dataclass, field, replace
from typing import Any, Self

from records.choices import PlateCheck

NOT_READ = {"check": str(PlateCheck.NOT_READ), "serial_read": ""}


@dataclass(frozen=True, slots=True)
class Settled:
    """Answers so far; one answer may lead to the next question."""

    save_anyway: bool = False
    is_draft: bool = False
    pump: int | None = None
    as_is: list[str] = field(default_factory=list)
    without_lives: list[int] = field(default_factory=list)
    without_places: list[str] = field(default_factory=list)

    @classmethod
    def read(cls, question: dict[str, Any]) -> Self:
        return cls(**question.get("settled", {}))

    def as_json(self) -> dict[str, Any]:
        return asdict(self)

    def with_answer(self, **answer: Any) -> Self:
        return replace(self, **answer)

    def laid_over(self, entry: dict[str, Any]) -> dict[str, Any]:
        """The shaped entry as it is stored once this is settled."""
        done = entry["done"]
        return {
            **entry,
            "save_anyway": entry["save_anyway"] or self.save_anyway,
            "sign": entry["sign"] and not self.is_draft,
            "findings_signed": entry["findings_signed"] and not self.is_draft,
            "pump": self.pump or entry["pump"],
            # What the plate said was set aside, so it vouches for nothing.
            "plate": NOT_READ if self.pump else entry["plate"],
            "as_is": [*entry["as_is"], *self.as_is],
            "done": {
                **done,
                "out": [r for r in done["out"] if r["life"] not in self.without_lives],
                "in": [
                    r for r in done["in"] if r["location"] not in self.without_places
                ],
            },
        }
