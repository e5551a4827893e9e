"""Work on the liquid, and where on its curve a pump runs."""

from plant.ratings.rating import Rating, RatingError, Status, above_zero, known

STANDARD_GRAVITY_M_S2 = 9.80665
SECONDS_PER_HOUR = 3600
DEFINITION = "definition of hydraulic power, density times gravity, flow and head"


def hydraulic_power_kw(flow_m3_h: float, head_m: float, density_kg_m3: float) -> Rating:
    """Power given to the liquid: density, gravity, flow and head multiplied.

    Parameters
    ----------
    flow_m3_h, head_m, density_kg_m3 : float
        Of the liquid as pumped, above zero.

    Returns
    -------
    Rating
        Kilowatts. Status: worked out.

    Raises
    ------
    RatingError
        If a value is not above zero.
    """
    flow_m3_s = above_zero("The flow", flow_m3_h) / SECONDS_PER_HOUR
    head = above_zero("The head", head_m)
    density = above_zero("The density", density_kg_m3)
    power = density * STANDARD_GRAVITY_M_S2 * flow_m3_s * head / 1000
    return Rating(power, "kW", DEFINITION, Status.DERIVED)


def pump_efficiency(
    flow_m3_h: float, head_m: float, density_kg_m3: float, shaft_power_kw: float
) -> Rating:
    """Hydraulic power over the power at the pump's shaft, a share of one.

    Raises
    ------
    RatingError
        As `hydraulic_power_kw`, and if more power leaves the pump than enters.
    """
    power = hydraulic_power_kw(flow_m3_h, head_m, density_kg_m3)
    share = power / above_zero("The shaft power", shaft_power_kw)
    if share > 1:
        raise RatingError(
            f"The liquid would take {power:.3g} kW from a shaft that gives "
            f"{shaft_power_kw:.3g} kW; check flow, head, density and power."
        )
    source = "hydraulic power over shaft power"
    return Rating(share, "", source, Status.DERIVED)


def off_best_efficiency(
    flow_m3_h: float | None, bep_flow_m3_h: float | None
) -> Rating | None:
    """Distance of the flow from best-efficiency flow as a share of it.

    -0.12 means 12 % below; None where a flow is not known.
    """
    if flow_m3_h is None or not bep_flow_m3_h:
        return None
    best = above_zero("The best-efficiency flow", bep_flow_m3_h)
    share = known("The flow", flow_m3_h) / best - 1
    return Rating(share, "", "flow over best-efficiency flow", Status.DERIVED)
