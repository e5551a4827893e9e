"""What the Forecast view shows: failures ahead, spares, the lives most at risk."""

from typing import Any

from django.urls import reverse

from analytics.reports.life.answer import (
    ViewAnswer,
    assumed_caution,
    bounds,
    sample_row,
)
from analytics.reports.life.forecast import HORIZONS, LEVELS, LifeForecast, PartAtRisk
from analytics.reports.life.forecast_words import failures_text, forecast_sentence
from analytics.reports.life.tables import (
    MOST_ROWS,
    columns,
    numeric,
    pump_cell,
    shares_text,
)
from plant.choices import Location
from plant.display import NO_VALUE, count, fixed, number, percent

METHOD = "simulated; holds chance and the doubt about the life"
METHOD_OF_CHANCE = "conditional on having reached its age"


def forecast_answer(forecast: LifeForecast) -> ViewAnswer:
    """Page and file of one forecast."""
    if forecast.refusal:
        return ViewAnswer(
            refusal=forecast.refusal, words=_left_aside(forecast), method="forecast"
        )
    return ViewAnswer(
        lead=forecast_sentence(forecast),
        cautions=tuple(filter(None, [assumed_caution(forecast.reading)])),
        tiles=_tiles(forecast),
        tables=[_spares_table(forecast), _parts_table(forecast)],
        words=_left_aside(forecast),
        method="forecast",
        rows=_export_rows(forecast),
    )


def _tiles(forecast: LifeForecast) -> list[dict[str, str]]:
    found = []
    size = len(forecast.in_service.rows)
    for horizon, ahead in forecast.by_horizon:
        limits = ahead.interval
        mean = float(ahead.probability.mean())
        found.append(
            {
                "label": f"Failures in the next {horizon.label}",
                "value": fixed(ahead.expected, 1),
                "unit": "",
                "interval": f"{percent(limits.confidence)} interval "
                f"{failures_text(limits)}",
                "note": f"{number(size)} in service; one of them fails with "
                f"{percent(mean, 1)} chance on average.",
            }
        )
    return found


def _spares_table(forecast: LifeForecast) -> dict[str, Any]:
    heads = [f"{percent(level)} of the time" for level in LEVELS]
    return {
        "caption": "Spares so that the stock is enough",
        "columns": columns("Until the next delivery", *heads, numbers=tuple(heads)),
        "rows": [
            [
                {"text": horizon.label},
                *(numeric(number(ahead.stock(level))) for level in LEVELS),
            ]
            for horizon, ahead in forecast.by_horizon
        ],
        "note": "Counted from the simulated failures, renewals of the renewed "
        "included. A stock for the time until the next delivery, not for ever.",
    }


def _parts_table(forecast: LifeForecast) -> dict[str, Any]:
    chances = [f"Fails within {horizon.label}" for horizon in HORIZONS]
    age = f"Age, {forecast.in_service.unit}"
    order = forecast.order
    shown = order[:MOST_ROWS]
    more = len(order) - len(shown)
    return {
        "caption": "Most likely to fail",
        "columns": columns(
            "Position",
            *chances,
            *(age, "Pump", "Place in the pump", "Part"),
            numbers=(*chances, age),
        ),
        "rows": [_part_row(forecast.part(row)) for row in shown],
        "note": f"The other {number(more)} are in the file." if more else "",
    }


def _part_row(part: PartAtRisk) -> list[dict[str, Any]]:
    life = part.life
    address = reverse("plant:position_detail", args=[life["position_id"]])
    return [
        {"text": life["tag"], "url": address},
        *(
            numeric(percent(chance, 1), note=shares_text(limits) if limits else "")
            for chance, limits in zip(part.chances, part.limits, strict=True)
        ),
        numeric(fixed(life["age"], 0), note="estimated" if life["estimated"] else ""),
        pump_cell(life),
        {"text": Location(life["location"]).label},
        {"text": life["part"] or NO_VALUE},
    ]


def _left_aside(forecast: LifeForecast) -> tuple[str, ...]:
    """Lives that the forecast does not speak of, and how the time was counted."""
    found, sample = forecast.in_service, forecast.reading.sample
    said = []
    if found.not_running:
        said.append(
            f"{count(found.not_running, 'life,lives')} in pumps in the store, at "
            "positions out of service or that never run: not in the forecast."
        )
    if found.unusable:
        said.append(
            f"{count(found.unusable, 'life,lives')} still in, of which the age is not "
            "known: they can fail too, and the forecast does not see them."
        )
    if forecast.by_horizon and found.unit == "h":
        said.append(
            "Calendar days ahead become running hours by the running share of each "
            "position; without one on record it is taken to run all the time."
        )
    if sample.rule.measured_only:
        said.append("Ages are those at the last reading of the meter.")
    if forecast.by_horizon:
        # The same fit stands behind both horizons, and so do its doubts.
        _, first = forecast.by_horizon[0]
        said += first.warnings
    return tuple(said)


def _export_rows(forecast: LifeForecast) -> list[list[Any]]:
    rows: list[list[Any]] = []
    for horizon, ahead in forecast.by_horizon:
        about, limits = f"next {horizon.label}", bounds(ahead.interval)
        figure = "expected failures"
        rows.append([about, figure, ahead.expected, *limits, "", METHOD, ""])
        for level in LEVELS:
            figure = f"spares for {level:.0%}"
            rows.append([about, figure, ahead.stock(level), *[""] * 6])
    for row in forecast.order:
        rows += _part_rows(forecast.part(row), forecast.in_service.unit)
    rows.append(sample_row(forecast.reading.sample))
    return rows


def _part_rows(part: PartAtRisk, unit: str) -> list[list[Any]]:
    life = part.life
    about = f"{life['tag']} / {life['serial_number']} / {life['location']}"
    return [
        [about, "age", life["age"], *bounds(None), unit, "", life["part"]],
        *(
            [about, f"chance to fail within {h.label}", chance, *bounds(limits)]
            + ["", METHOD_OF_CHANCE, life["part"]]
            for h, chance, limits in zip(
                HORIZONS, part.chances, part.limits, strict=True
            )
        ),
    ]
