"""Figures computed from the data of one pump or position; no rows, no rounding.

Sources: overhung-shaft stiffness ratio as taught in pump seminars on shaft
deflection (L from the inboard radial bearing to the impeller, D the solid shaft
under the sleeve); limits differ between mm and inches, so the unit is named.
"""


def shaft_stiffness_ratio(overhang_mm: float, diameter_mm: float) -> float:
    """L^3 / D^4 of an overhung shaft in 1/mm; lower is stiffer.

    A screen only: shafts of several diameters need the longer formula.

    Raises
    ------
    ValueError
        If a length is not above zero.
    """
    if overhang_mm <= 0 or diameter_mm <= 0:
        raise ValueError("Overhang and diameter of the shaft must be above zero.")
    return float(overhang_mm**3 / diameter_mm**4)


def off_best_efficiency(
    flow_m3_h: float | None, bep_flow_m3_h: float | None
) -> float | None:
    """Distance of the flow from best-efficiency flow as a share of it.

    -0.12 means 12 % below; None where a flow is not known.
    """
    if flow_m3_h is None or not bep_flow_m3_h:
        return None
    return flow_m3_h / bep_flow_m3_h - 1
