"""Everything typed on one repair page: facts, components and costs together."""

from typing import Any

from django.core.exceptions import ValidationError
from django.http import QueryDict

from plant.forms.service_errors import errors_take
from plant.models import FittedLife, Position, Pump
from records.choices import ChangeKind
from records.forms.components import AddedFormSet, SwapForm, SwapFormSet, swaps_initial
from records.forms.costs import CostFormSet
from records.forms.repair_entry_check import entry_check
from records.forms.repairs import (
    ChangedRepairForm,
    CorrectionForm,
    NewRepairForm,
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
from records.services.half_done import AsIsAsked

TICK_OR_MEND = "Tick what is so, or mend it."


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
        asks_costs: bool = True,
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
        if asks_costs and not is_correction:
            currency = position.site.currency
            self.costs = CostFormSet(
                data, prefix="cost", form_kwargs={"currency": currency}
            )

    @classmethod
    def of(
        cls,
        repair: Repair,
        data: QueryDict | None,
        is_correction: bool = False,
        asks_costs: bool = True,
    ) -> "RepairEntry":
        """A repair opened again: a draft to edit, or a signed one to correct."""
        return cls(
            position=repair.position,
            pump=repair.pump,
            repair=repair,
            data=data,
            is_correction=is_correction,
            asks_costs=asks_costs,
        )

    def _facts(self, data: QueryDict | None) -> NewRepairForm | ChangedRepairForm:
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
        """Whether nothing is known to be wrong; every fault is shown at once."""
        sets = [s for s in (self.swaps, self.added, self.costs) if s is not None]
        for one in (self.form, *sets):
            one.is_valid()
        if self.form.is_bound:
            entry_check(self)
        return self.form.is_valid() and all(one.is_valid() for one in sets)

    @property
    def signs(self) -> bool:
        """Whether a name will stand under it."""
        return self.is_correction or self.form.data.get("action") == "sign"

    def fields(self) -> dict[str, Any]:
        """What the services take: each form field bears the name they know it by."""
        values = dict(self.form.cleaned_data)
        outs, ins = self.rows()
        values["components_out"] = [row for _form, row in outs]
        values["components_in"] = [row for _form, row in ins]
        if self.costs is not None:
            values["costs"] = self._cost_entries()
        return values

    def rows(
        self,
    ) -> tuple[list[tuple[SwapForm, ComponentOut]], list[tuple[Any, ComponentIn]]]:
        swaps = [form for form in self.swaps if not form.errors]
        fitting = [*swaps, *(form for form in self.added if not form.errors)]
        outs = [(form, row) for form in swaps if (row := form.out())]
        ins = [(form, row) for form in fitting if (row := form.fitted())]
        return outs, ins

    def _cost_entries(self) -> list[CostEntry]:
        return [form.entry() for form in self.costs if form.has_changed()]

    def refuse(self, error: ValidationError) -> None:
        """Put what the service refused beside what it is about."""
        if isinstance(error, RowRefused):
            outs, ins = self.rows()
            rows = outs if error.kind == ChangeKind.OUT else ins
            rows[error.index][0].add_error(None, error.messages)
            return
        if isinstance(error, AsIsAsked):
            self.form.ask_as_is(error.questions)
            self.form.add_error("as_is", TICK_OR_MEND)
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
