"""What a reader asks of the Life page: a population, a counting rule, a precision."""

from dataclasses import dataclass, replace

from analytics.samples import SampleRule
from plant.choices import BEARINGS, Component, ConditionFitted
from records.selectors.lives import LifeFilter

COMPONENTS: dict[str, tuple[str, ...]] = {
    "seal": (Component.SEAL,),
    "bearing": tuple(BEARINGS),
    "radial bearing": (Component.RADIAL,),
    "thrust bearing": (Component.THRUST,),
}
COMPONENT_NAMES = {
    "seal": "Seals",
    "bearing": "All bearings",
    "radial bearing": "Radial bearings",
    "thrust bearing": "Thrust bearings",
}
# Refitted unopened is the same part going on at its age; the others are not.
CONDITIONS: dict[str, tuple[str, ...]] = {
    "new": (ConditionFitted.NEW, ConditionFitted.REFITTED),
    "cleaned": (ConditionFitted.CLEANED,),
    "repaired": (ConditionFitted.REPAIRED,),
    "exchanged": (ConditionFitted.EXCHANGED,),
    "all": tuple(ConditionFitted.values),
}
CONDITION_NAMES = {
    "new": "New, or refitted unopened at its age",
    "cleaned": "Cleaned and refitted",
    "repaired": "Repaired",
    "exchanged": "Exchange unit",
    "all": "All of them pooled",
}
# Usual Weibull shapes: Barringer's table of the trade (default, not per standard).
USUAL_SHAPES = {
    "seal": (0.8, 1.4, 4.0),
    "bearing": (0.7, 1.3, 3.5),
    "radial bearing": (0.7, 1.3, 3.5),
    "thrust bearing": (0.7, 1.3, 3.5),
}


@dataclass(frozen=True, slots=True)
class LifeQuestion:
    """One question; `compare` is the part and plan of a second population."""

    component: str
    choice: LifeFilter
    rule: SampleRule
    confidence: float = 0.90
    percent: float = 10.0
    assumed_shape: float | None = None
    compare: tuple[str, str] | None = None

    @property
    def name(self) -> str:
        """The population in short, for headings and legends."""
        plan = f"plan {self.choice.piping_plan}" if self.choice.piping_plan else ""
        words = [COMPONENT_NAMES[self.component], self.choice.part, plan]
        return ", ".join(word for word in words if word)

    @property
    def usual_shapes(self) -> tuple[float, float, float]:
        """Low, typical and high shape of this component."""
        return USUAL_SHAPES[self.component]

    @property
    def shape_assumed(self) -> float:
        """Shape for samples too small to give their own."""
        return self.assumed_shape or self.usual_shapes[1]

    @property
    def other(self) -> "LifeQuestion | None":
        """The same question about the population to compare with."""
        if self.compare is None:
            return None
        part, plan = self.compare
        choice = replace(
            self.choice,
            part=part or self.choice.part,
            piping_plan=plan or self.choice.piping_plan,
        )
        return replace(self, choice=choice, compare=None)
