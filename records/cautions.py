"""Cautions for work on process pumps, in one place; reminders, not instructions.

Each row names what the reminder rests on. "Trade practice" is common knowledge of
the trade; "from memory" marks a source that was not opened while writing.
"""

FIRST_LINE = (
    "This record is not a permit. Follow the site's permit-to-work and isolation "
    "procedures; they govern. Work only if trained and authorised; local codes and "
    "licensed trades apply."
)
PRACTICE = "Trade practice"
CAUTIONS: tuple[tuple[str, str, str], ...] = (
    (
        "Isolation",
        "Every source of energy is known and found: power to the motor, suction, "
        "discharge, flush, quench, barrier liquid, drain, warm-up and recycle lines. "
        "Authorised people set locks and tags; then it is proved dead and a start is "
        "tried.",
        "29 CFR 1910.147(d)",
    ),
    (
        "Order of steps",
        "Prepare, shut down, isolate, lock and tag, let stored energy go, verify. "
        "Verify again for as long as energy can come back.",
        "29 CFR 1910.147(d)",
    ),
    (
        "Giving it back",
        "Machine checked, people clear and told, each lock taken off by its owner. "
        "Shift changes and contractors follow the site's rules.",
        "29 CFR 1910.147(e)",
    ),
    (
        "Process safety",
        "Pumps belong to mechanical integrity: written procedures, trained people, "
        "inspections on record with date, name, serial number and result, defects "
        "mended before further use or in a safe and timely way, the right spares.",
        "29 CFR 1910.119(j), 40 CFR 68.73",
    ),
    (
        "Change",
        "Another material, seal type, piping plan, size or speed is a change to be "
        "managed, not a like-for-like repair.",
        "29 CFR 1910.119(l), from memory",
    ),
    ("Hot work", "It needs its own permit.", "29 CFR 1910.119(k), from memory"),
    (
        "Work equipment in the EU",
        "Maintained through its life, stopped for maintenance where possible, else "
        "with protection, and cut off from its energy.",
        "Directive 2009/104/EC",
    ),
    (
        "Pressure and motion",
        "Relieve and empty what holds pressure; block what may move.",
        "Directive 2009/104/EC",
    ),
    (
        "Draining and cleaning",
        "Drain, vent, flush and purge; look at the low point and the casing drain. "
        "Liquid stays behind in casings, seal chambers, behind impellers, in cyclones "
        "and coolers. Nothing goes to the shop without its decontamination tag.",
        PRACTICE,
    ),
    (
        "Residues",
        "Know the liquid and its data sheet. Heated fluoro-elastomer may leave "
        "hydrofluoric acid: treat charred parts as hazardous.",
        f"{PRACTICE}, from memory",
    ),
    (
        "Seal systems",
        "Barrier and buffer pots, accumulators and gas panels hold pressure after the "
        "pump is isolated: let it go, and lock the nitrogen too.",
        PRACTICE,
    ),
    (
        "Springs and cartridges",
        "Setting clips hold spring load; seal faces are brittle.",
        PRACTICE,
    ),
    (
        "Turning backwards",
        "A leaking check valve can spin the pump: prove both valves.",
        PRACTICE,
    ),
    (
        "Explosive atmospheres",
        "Zone, equipment group, category and temperature class hold for pump, seal, "
        "coupling, guard and motor. A repair must not change the marking; motors go to "
        "a competent shop. Dry running is a source of ignition.",
        "2014/34/EU, 1999/92/EC, IEC 60079-19, ISO 80079-36 and -37, from memory",
    ),
    (
        "Lifting",
        "Known weights, proper lifting points, checked gear, nobody under the load. "
        "The motor's eye bolt does not carry the whole unit.",
        PRACTICE,
    ),
    (
        "Heat, cold, noise, skin",
        "Hot and cold surfaces, oil under pressure, pinch points; protective equipment "
        "as the permit says.",
        PRACTICE,
    ),
    (
        "Before it runs again",
        "Guards on, coupling bolted, rotation proved uncoupled, oil in, seal vented "
        "and flushed, barrier pressure up, valves lined up, alarms on, permit closed.",
        PRACTICE,
    ),
    (
        "Limits in this log",
        "They are defaults for sorting records. The pump's own documents and the "
        "engineer decide.",
        PRACTICE,
    ),
)
