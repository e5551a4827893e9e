"""What a browser would send from the repair form."""

from plant.choices import Location


def typed(swaps=(), added=(), costs=(), **facts):
    """The POST data of the repair form with its rows of components and costs."""
    data = {
        "reported_at": "2024-03-01T08:00",
        "stopped_at": "2024-03-01T10:00",
        "returned_at": "2024-03-02T15:00",
        "category": "corrective",
        "activity": "1",
        "failure_mode": "ELP",
        "item": "mechanical seal",
        "action": "draft",
        **facts,
    }
    for prefix, rows in (("swap", swaps), ("added", added), ("cost", costs)):
        data[f"{prefix}-TOTAL_FORMS"] = len(rows)
        data[f"{prefix}-INITIAL_FORMS"] = len(rows) if prefix == "swap" else 0
        for index, row in enumerate(rows):
            data |= {f"{prefix}-{index}-{name}": value for name, value in row.items()}
    return data


def seal_row(here, **more):
    return {"location": Location.SEAL_SINGLE_INNER, "life": here.seal.pk, **more}


def swapped_seal(here, **more):
    facts = {
        "taken_out": "on",
        "defect_seen": "yes",
        "condition_found": "reject",
        "why_removed": "defect",
        "fit_new": "on",
        "condition_fitted": "new",
        "part_number": "PART-8",
        "serial": "S-2",
    }
    return seal_row(here, **{**facts, **more})
