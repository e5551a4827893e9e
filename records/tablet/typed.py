"""An entry as the services take it: rows of the register, times, numbers."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from django import forms

from plant.access import may
from plant.models import FittedLife, Position, Pump, User
from plant.zones import site_zone
from records.forms.costs import CostForm
from records.models import Repair
from records.services.component_rows import ComponentIn, ComponentOut
from records.services.costs import CostEntry
from records.tablet.faults import FACTS_OF_STEP, PATHS, Fault, refuse
from records.tablet.forms import CheckForm, FactsForm, InForm, OutForm, PatternForm

# Fields of the form that are no facts of the repair itself.
ASIDE = ("number", "shop_work_of", "as_is", "save_anyway", "meter_hours")
NOT_OF_PUMP = "This component is not one of this pump."


@dataclass(slots=True)
class Typed:
    """Everything of one entry, read and possible as far as single fields can tell."""

    position: Position
    pump: Pump | None
    swap_to_pump: Pump | None
    serial_read: str
    facts: dict[str, Any] = field(default_factory=dict)
    meter_hours: float | None = None
    is_new_meter: bool = False
    outs: list[ComponentOut] = field(default_factory=list)
    ins: list[ComponentIn] = field(default_factory=list)
    checks: list[dict[str, Any]] = field(default_factory=list)
    costs: list[CostEntry] = field(default_factory=list)
    patterns: list[tuple[str, str]] = field(default_factory=list)
    sign: bool = False
    findings_signed: bool = False
    save_anyway: bool = False
    as_is: list[str] = field(default_factory=list)

    def as_repair(self) -> Repair:
        """The repair as typed, not stored, for the checks of the services."""
        repair = Repair(site=self.position.site, position=self.position)
        repair.pump = self.pump
        for name, value in self.facts.items():
            setattr(repair, name, value)
        return repair


def typed_read(*, by: User, position: Position, entry: dict[str, Any]) -> Typed:
    """Read the shaped payload of one entry.

    Raises
    ------
    Refused
        With every field that cannot be read.
    """
    faults: list[Fault] = []
    pumps = _pumps_named(position, entry, faults)
    typed = Typed(
        position=position,
        pump=pumps.get(entry["pump"]),
        swap_to_pump=pumps.get(entry["done"]["swap_to_pump"]),
        serial_read=entry["plate"]["serial_read"][:60],
        sign=bool(entry["sign"]),
        findings_signed=bool(entry["findings_signed"]),
        save_anyway=bool(entry["save_anyway"]),
        as_is=entry["as_is"],
    )
    with site_zone(position.site):
        _facts(typed, entry, faults)
        _components(typed, entry["done"], faults)
        _costs(typed, by, entry["costs"], faults)
    checks = _rows(entry["checks"], "checks", CheckForm, faults)
    typed.checks = [form.cleaned_data for _index, form in checks]
    patterns = _rows(entry["found"]["patterns"], "found.patterns", PatternForm, faults)
    typed.patterns = [
        (form.cleaned_data["code"], form.cleaned_data["note"])
        for _index, form in patterns
    ]
    refuse(faults)
    return typed


def _pumps_named(
    position: Position, entry: dict[str, Any], faults: list[Fault]
) -> dict[int | None, Pump]:
    """The pumps of the site that the entry names; another site's are none."""
    named = {"pump": entry["pump"], "done.swap_to_pump": entry["done"]["swap_to_pump"]}
    pumps = (
        Pump.objects.filter(site=position.site_id)
        .select_related("site")
        .in_bulk([pk for pk in named.values() if pk is not None])
    )
    for path, pk in named.items():
        if pk is not None and pk not in pumps:
            faults.append(Fault(path, "There is no such pump at this site."))
    return {**pumps}


def _facts(typed: Typed, entry: dict[str, Any], faults: list[Fault]) -> None:
    data = {
        name: entry[step][name]
        for step, names in FACTS_OF_STEP.items()
        for name in names
    }
    data |= {"text": entry["text"], "plate_check": entry["plate"]["check"]}
    data |= {"as_is": typed.as_is, "save_anyway": typed.save_anyway}
    form = FactsForm(data, position=typed.position)
    form.is_valid()
    for name, texts in form.errors.items():
        faults.extend(Fault(PATHS.get(name, name), str(text)) for text in texts)
    read = form.cleaned_data
    typed.meter_hours = read.get("meter_hours")
    typed.is_new_meter = bool(read.get("is_new_meter"))
    aside = (*ASIDE, "is_new_meter")
    typed.facts = {name: value for name, value in read.items() if name not in aside}


def _rows(
    rows: list[dict[str, Any]],
    path: str,
    form_of: Callable[[dict[str, Any]], forms.Form],
    faults: list[Fault],
) -> Iterator[tuple[int, forms.Form]]:
    """The rows that could be read, each with its place in the list."""
    for index, row in enumerate(rows):
        form = form_of(row)
        if form.is_valid():
            yield index, form
            continue
        for name, texts in form.errors.items():
            inner = f".{name}" if name in form.fields else ""
            faults.extend(Fault(f"{path}.{index}{inner}", str(text)) for text in texts)


def _components(typed: Typed, done: dict[str, Any], faults: list[Fault]) -> None:
    lives = (
        FittedLife.objects.filter(pump=typed.pump)
        .select_related("pump__site")
        .in_bulk([row["life"] for row in done["out"] if row["life"]])
    )
    seen: set[int] = set()
    for index, form in _rows(done["out"], "done.out", OutForm, faults):
        row = done["out"][index]
        life = lives.get(row["life"])
        if life is None or life.pk in seen:
            text = NOT_OF_PUMP if life is None else "It is taken out twice here."
            faults.append(Fault(f"done.out.{index}.life", text))
            continue
        seen.add(life.pk)
        typed.outs.append(
            ComponentOut(
                life=life, defect_detected=row["defect_detected"], **form.cleaned_data
            )
        )
    places: set[str] = set()
    for index, form in _rows(done["in"], "done.in", InForm, faults):
        read = dict(form.cleaned_data)
        component, place = read.pop("component"), read.pop("location")
        if place in places:
            faults.append(Fault(f"done.in.{index}.location", "Two are fitted here."))
        places.add(place)
        typed.ins.append(ComponentIn(component, place, details=read))


def _costs(
    typed: Typed, by: User, rows: list[dict[str, Any]], faults: list[Fault]
) -> None:
    if rows and not may(by, "records.see_costs"):
        faults.append(Fault("costs", "Costs are the planner's part."))
        return
    currency = typed.position.site.currency

    def form_of(row: dict[str, Any]) -> CostForm:
        data = {**row, "currency": row["currency"] or currency}
        return CostForm(data, currency=currency)

    for _index, form in _rows(rows, "costs", form_of, faults):
        typed.costs.append(CostEntry(**form.cleaned_data))
