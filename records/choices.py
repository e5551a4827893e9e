"""One vocabulary of the repair log, with the codes of ISO 14224:2016.

Failure modes: table for pumps (class PU); mechanism: table B.2; cause: B.3;
detection: B.4; activity: B.5; items: pump subunits and maintainable items with
usual extra items of the trade. The meanings are in our own words.
"""

from django.db import models


class Category(models.TextChoices):
    """Maintenance category: why the work was done."""

    CORRECTIVE = "corrective", "Corrective"
    CONDITION = "condition", "Found by condition monitoring"
    PREVENTIVE = "preventive", "Preventive"
    MODIFICATION = "modification", "Modification"


class Activity(models.TextChoices):
    """Maintenance activity, ISO 14224 table B.5."""

    REPLACE = "1", "Replace, same type"
    REPAIR = "2", "Repair"
    MODIFY = "3", "Modify"
    ADJUST = "4", "Adjust"
    REFIT = "5", "Refit"
    CHECK = "6", "Check"
    SERVICE = "7", "Service"
    TEST = "8", "Test"
    INSPECTION = "9", "Inspection"
    OVERHAUL = "10", "Overhaul"
    COMBINATION = "11", "Combination"
    OTHER = "12", "Other"


class OperatingState(models.TextChoices):
    STARTING = "starting", "Starting"
    WARM_UP = "warm-up", "Warm-up"
    RUNNING = "running", "Running"
    STANDBY = "standby", "Standby"
    TEST = "test", "Test"


class Release(models.TextChoices):
    """What escaped."""

    NONE = "none", "None"
    CONTAINED = "contained", "Contained"
    OUTSIDE = "outside", "To the outside"
    REPORTABLE = "reportable", "Reportable"


class FailureMode(models.TextChoices):
    """Failure mode of the pump, ISO 14224 codes for pumps."""

    FTS = "FTS", "Does not start when asked"
    STP = "STP", "Does not stop when asked"
    UST = "UST", "Stops unasked"
    BRD = "BRD", "Breakdown"
    HIO = "HIO", "Output above limit"
    LOO = "LOO", "Output below limit"
    ERO = "ERO", "Output unstable"
    ELP = "ELP", "Process liquid leaks out"
    ELU = "ELU", "Utility liquid leaks out"
    INL = "INL", "Leak inside the machine"
    VIB = "VIB", "Abnormal vibration"
    NOI = "NOI", "Abnormal noise"
    OHE = "OHE", "Overheating"
    PLU = "PLU", "Plugged or choked"
    PDE = "PDE", "Monitored value outside limit"
    AIR = "AIR", "Abnormal instrument reading"
    STD = "STD", "Structural deficiency"
    SER = "SER", "Minor in-service problem"
    OTH = "OTH", "Other"
    UNK = "UNK", "Not known"


class Impact(models.TextChoices):
    """Impact on the pump's function."""

    CRITICAL = "critical", "Critical"
    DEGRADED = "degraded", "Degraded"
    INCIPIENT = "incipient", "Incipient"


class Detection(models.TextChoices):
    """Detection method, ISO 14224 table B.4."""

    PERIODIC = "1", "Periodic maintenance"
    FUNCTIONAL = "2", "Functional testing"
    INSPECTION = "3", "Inspection"
    PERIODIC_MONITORING = "4", "Periodic condition monitoring"
    PRESSURE = "5", "Pressure testing"
    CONTINUOUS_MONITORING = "6", "Continuous condition monitoring"
    INTERFERENCE = "7", "Production interference"
    CASUAL = "8", "Casual observation"
    CORRECTIVE = "9", "Found during other corrective work"
    DEMAND = "10", "On demand"
    OTHER = "11", "Other"


class Mechanism(models.TextChoices):
    """Failure mechanism, ISO 14224 table B.2."""

    M1_0 = "1.0", "Mechanical, general"
    M1_1 = "1.1", "Leakage"
    M1_2 = "1.2", "Vibration"
    M1_3 = "1.3", "Clearance or alignment"
    M1_4 = "1.4", "Deformation"
    M1_5 = "1.5", "Looseness"
    M1_6 = "1.6", "Sticking"
    M2_0 = "2.0", "Material, general"
    M2_1 = "2.1", "Cavitation"
    M2_2 = "2.2", "Corrosion"
    M2_3 = "2.3", "Erosion"
    M2_4 = "2.4", "Wear"
    M2_5 = "2.5", "Breakage"
    M2_6 = "2.6", "Fatigue"
    M2_7 = "2.7", "Overheating"
    M2_8 = "2.8", "Burst"
    M3_0 = "3.0", "Instrument, general"
    M3_1 = "3.1", "Control failure"
    M3_2 = "3.2", "No signal"
    M3_3 = "3.3", "Faulty signal"
    M3_4 = "3.4", "Out of adjustment"
    M3_5 = "3.5", "Software error"
    M3_6 = "3.6", "Common cause, instrument"
    M4_0 = "4.0", "Electrical, general"
    M4_1 = "4.1", "Short circuit"
    M4_2 = "4.2", "Open circuit"
    M4_3 = "4.3", "No power"
    M4_4 = "4.4", "Faulty power"
    M4_5 = "4.5", "Earth or isolation fault"
    M5_0 = "5.0", "External influence, general"
    M5_1 = "5.1", "Blockage"
    M5_2 = "5.2", "Contamination"
    M5_3 = "5.3", "Other external influence"
    M6_0 = "6.0", "Miscellaneous, general"
    M6_1 = "6.1", "No mechanism found"
    M6_2 = "6.2", "Combined mechanisms"
    M6_3 = "6.3", "Other mechanism"
    M6_4 = "6.4", "Mechanism not known"


class Cause(models.TextChoices):
    """Failure cause, ISO 14224 table B.3."""

    C1_0 = "1.0", "Design, general"
    C1_1 = "1.1", "Improper capacity"
    C1_2 = "1.2", "Improper material"
    C2_0 = "2.0", "Fabrication or installation, general"
    C2_1 = "2.1", "Fabrication"
    C2_2 = "2.2", "Installation"
    C3_0 = "3.0", "Operation or maintenance, general"
    C3_1 = "3.1", "Off-design service"
    C3_2 = "3.2", "Operating error"
    C3_3 = "3.3", "Maintenance error"
    C3_4 = "3.4", "Expected wear and tear"
    C4_0 = "4.0", "Management, general"
    C4_1 = "4.1", "Documentation error"
    C4_2 = "4.2", "Management error"
    C5_0 = "5.0", "Miscellaneous, general"
    C5_1 = "5.1", "No cause found"
    C5_2 = "5.2", "Common cause"
    C5_3 = "5.3", "Combined causes"
    C5_4 = "5.4", "Other unit or cascading"
    C5_5 = "5.5", "Other cause"
    C5_6 = "5.6", "Cause not known"


class Subunit(models.TextChoices):
    TRANSMISSION = "power transmission", "Power transmission"
    PUMP_UNIT = "pump unit", "Pump unit"
    CONTROL = "control and monitoring", "Control and monitoring"
    LUBRICATION = "lubrication system", "Lubrication system"
    MISCELLANEOUS = "miscellaneous", "Miscellaneous"
    OUTSIDE = "outside the boundary", "Outside the pump's boundary"
    UNKNOWN = "unknown", "Not known"


class Item(models.TextChoices):
    """Maintainable item that failed or was worked on first."""

    SEAL = "mechanical seal", "Mechanical seal"
    RADIAL_BEARING = "radial bearing", "Radial bearing"
    THRUST_BEARING = "thrust bearing", "Thrust bearing"
    IMPELLER = "impeller", "Impeller"
    SHAFT = "shaft", "Shaft"
    SLEEVE = "sleeve", "Shaft sleeve"
    CASING = "casing", "Casing"
    COVER = "cover", "Casing cover"
    WEAR_RING = "wear ring", "Wear ring"
    THROAT_BUSHING = "throat bushing", "Throat bushing"
    GASKET = "casing gasket", "Casing gasket"
    BEARING_HOUSING = "bearing housing", "Bearing housing"
    HOUSING_SEAL = "bearing-housing seal", "Bearing-housing seal"
    PACKING = "packing", "Gland packing"
    SUPPORT = "support", "Support"
    PUMP_PIPING = "pump piping", "Piping and valves on the pump"
    PUMP_UNIT = "pump unit as such", "Pump unit as such"
    COUPLING = "coupling", "Coupling"
    GEARBOX = "gearbox", "Gearbox or variable drive"
    GUARD = "guard", "Coupling guard"
    CONTROL_UNIT = "control unit", "Control unit"
    MONITORING = "monitoring", "Monitoring and instruments"
    OIL = "oil", "Oil or grease"
    OILER = "oiler", "Oiler or oil ring"
    OIL_COOLER = "oil cooler", "Oil cooler"
    OIL_SYSTEM = "oil system", "Oil pump, filter, piping"
    SEAL_SUPPORT = "seal-support system", "Seal-support system"
    COOLING = "cooling", "Cooling or heating"
    CHECK_VALVE = "check valve", "Check valve"
    BASEPLATE = "baseplate", "Baseplate"
    FLANGE = "flange joint", "Flange joint"
    DRIVER = "driver", "Driver"
    BLOCK_VALVE = "block valve", "Inlet or outlet valve"
    STRAINER = "suction strainer", "Suction strainer"
    UNKNOWN = "unknown", "Not known"


ITEMS_BY_SUBUNIT: dict[Subunit, tuple[Item, ...]] = {
    Subunit.PUMP_UNIT: (
        Item.SEAL,
        Item.RADIAL_BEARING,
        Item.THRUST_BEARING,
        Item.IMPELLER,
        Item.SHAFT,
        Item.SLEEVE,
        Item.CASING,
        Item.COVER,
        Item.WEAR_RING,
        Item.THROAT_BUSHING,
        Item.GASKET,
        Item.BEARING_HOUSING,
        Item.HOUSING_SEAL,
        Item.PACKING,
        Item.SUPPORT,
        Item.PUMP_PIPING,
        Item.PUMP_UNIT,
    ),
    Subunit.TRANSMISSION: (Item.COUPLING, Item.GEARBOX, Item.GUARD),
    Subunit.CONTROL: (Item.CONTROL_UNIT, Item.MONITORING),
    Subunit.LUBRICATION: (Item.OIL, Item.OILER, Item.OIL_COOLER, Item.OIL_SYSTEM),
    Subunit.MISCELLANEOUS: (
        Item.SEAL_SUPPORT,
        Item.COOLING,
        Item.CHECK_VALVE,
        Item.BASEPLATE,
        Item.FLANGE,
    ),
    Subunit.OUTSIDE: (Item.DRIVER, Item.BLOCK_VALVE, Item.STRAINER),
    Subunit.UNKNOWN: (Item.UNKNOWN,),
}
SUBUNIT_OF_ITEM: dict[str, Subunit] = {
    item: subunit for subunit, items in ITEMS_BY_SUBUNIT.items() for item in items
}


class CostKind(models.TextChoices):
    LABOUR = "labour", "Labour"
    PARTS = "parts", "Parts"
    CONTRACTOR = "contractor", "Contractor"
    LOST_PRODUCTION = "lost production", "Lost production"
    ENVIRONMENT_SAFETY = "environment and safety", "Environment and safety"
    OTHER = "other", "Other"


REPAIR_COST_KINDS = (
    CostKind.LABOUR,
    CostKind.PARTS,
    CostKind.CONTRACTOR,
    CostKind.OTHER,
)


class CostStatus(models.TextChoices):
    ESTIMATE = "estimate", "Estimate"
    BOOKED = "booked", "Booked"


class RepairState(models.TextChoices):
    DRAFT = "draft", "Draft"
    SIGNED = "signed", "Signed"
    VOID = "void", "Void"


class PlateCheck(models.TextChoices):
    """Whether the serial number on the pump's plate was read at the repair."""

    READ = "read", "Read, and it agrees"
    NOT_READ = "not read", "Not read"


class ChangeKind(models.TextChoices):
    """What a repair did with a seal or bearing."""

    OUT = "out", "Taken out"
    IN = "in", "Fitted"
