"""Everything typed on one repair page: facts, components and costs together."""

from typing import Any

from django.core.exceptions import ValidationError
from django.http import QueryDict

from plant.forms.service_errors import errors_take
from plant.models import FittedLife, Position, Pump
from records.choices import ChangeKind
from records.forms.components import AddedFormSet, SwapForm, SwapFormSet, swaps_initial
from records.forms.costs import CostFormSet
from records.forms.repairs import (
    ChangedRepairForm,
    CorrectionForm,
    NewRepairForm,
    RepairForm,
)
from records.models import Repair
from records.selectors.repairs import repair_version
from records.services.component_rows import (
    ComponentIn,
    ComponentOut,
    RowRefused,
    components_now,
)
from records.services.costs import CostEntry


class RepairEntry:
    """The forms of a repair page, new or opened again."""

    def __init__(
        self,
        *,
        position: Position,
        pump: Pump | None,
        repair: Repair | None = None,
        data: QueryDict | None = None,
        is_correction: bool = False,
    ) -> None:
        self.position, self.pump, self.repair = position, pump, repair
        self.is_correction = is_correction
        # Once answered it stays in sight, whatever else has to be corrected.
        self.asks_save_anyway = bool(data and data.get("save_anyway"))
        self.form = self._facts(data)
        self.swaps: Any = SwapFormSet(
            data,
            prefix="swap",
            initial=self._initial(),
            form_kwargs={"lives": self._lives()},
        )
        self.added: Any = AddedFormSet(data, prefix="added")
        self.costs: Any = None
        if not is_correction:
            currency = position.site.currency
            self.costs = CostFormSet(
                data, prefix="cost", form_kwargs={"currency": currency}
            )

    @classmethod
    def of(
        cls, repair: Repair, data: QueryDict | None, is_correction: bool = False
    ) -> "RepairEntry":
        """A repair opened again: a draft to edit, or a signed one to correct."""
        return cls(
            position=repair.position,
            pump=repair.pump,
            repair=repair,
            data=data,
            is_correction=is_correction,
        )

    def _facts(self, data: QueryDict | None) -> RepairForm:
        if self.repair is None:
            return NewRepairForm(data, position=self.position)
        form_class = CorrectionForm if self.is_correction else ChangedRepairForm
        return form_class(data, position=self.position, repair=self.repair)

    def _initial(self) -> list[dict[str, Any]]:
        if self.pump is None:
            return []
        outs, ins = components_now(self.repair) if self.repair else ([], [])
        return swaps_initial(self.pump, outs, ins)

    def _lives(self) -> dict[int, FittedLife]:
        if self.pump is None:
            return {}
        lives = FittedLife.objects.filter(pump=self.pump).select_related("pump__site")
        return {life.pk: life for life in lives}

    def is_valid(self) -> bool:
        sets = [s for s in (self.swaps, self.added, self.costs) if s is not None]
        # Each is asked, so that every fault is shown at once.
        answers = [form_set.is_valid() for form_set in sets]
        return self.form.is_valid() and all(answers)

    def fields(self) -> dict[str, Any]:
        """What the services take: each form field bears the name they know it by."""
        values = dict(self.form.cleaned_data)
        outs, ins = self._rows()
        values["components_out"] = [row for _form, row in outs]
        values["components_in"] = [row for _form, row in ins]
        if self.costs is not None:
            values["costs"] = self._cost_entries()
        return values

    def _rows(
        self,
    ) -> tuple[list[tuple[SwapForm, ComponentOut]], list[tuple[Any, ComponentIn]]]:
        outs = [(form, row) for form in self.swaps if (row := form.out())]
        ins = [
            (form, row) for form in [*self.swaps, *self.added] if (row := form.fitted())
        ]
        return outs, ins

    def _cost_entries(self) -> list[CostEntry]:
        return [form.entry() for form in self.costs if form.has_changed()]

    def refuse(self, error: ValidationError) -> None:
        """Put what the service refused beside what it is about."""
        if isinstance(error, RowRefused):
            outs, ins = self._rows()
            rows = outs if error.kind == ChangeKind.OUT else ins
            rows[error.index][0].add_error(None, error.messages)
            return
        code = getattr(error, "code", None)
        self.asks_save_anyway |= code == "duplicate"
        if code == "stale" and self.repair is not None:
            self._open_again(self.repair)
        errors_take(self.form, error, {})

    def _open_again(self, repair: Repair) -> None:
        """Count from what is stored now, so that saving again is meant."""
        data: Any = self.form.data.copy()  # type: ignore[attr-defined]
        data["version"] = str(repair_version(repair))
        self.form.data = data
