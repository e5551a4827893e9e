"""Finds the site, position or pump that a row names; anything unclear is a fault."""

from dataclasses import dataclass

from plant.models import Site
from records.importing.known import Known, PositionKey, PumpKey
from records.importing.plan import Plan
from records.importing.report import Report
from records.importing.rows import Values


@dataclass(slots=True)
class Findings:
    """What the checks of all sheets share."""

    known: Known
    report: Report
    plan: Plan

    def own_site(self, sheet: str, row: int, name: str) -> Site | None:
        """A site that exists and is the user's."""
        site = self.known.sites.get(name)
        if site is None:
            right = "There is no such site: name it in the positions sheet first."
            self.report.fault(sheet, row, "site", name, right)
            return None
        if name not in self.known.own_sites:
            right = f"You do not work at {name}: leave its rows out."
            self.report.fault(sheet, row, "site", name, right)
            return None
        self.plan.sites_concerned.add(name)
        return site

    def position(self, sheet: str, row: int, values: Values) -> PositionKey | None:
        """The position of the row's tag; the caller has seen that a tag is there."""
        tag = values["tag"]
        sites = self.known.sites_of_tag.get(tag, [])
        if "site" in values:
            if self.own_site(sheet, row, values["site"]) is None:
                return None
            sites = [name for name in sites if name == values["site"]]
        if len(sites) == 1:
            self.plan.sites_concerned.add(sites[0])
            return (sites[0], tag)
        if tag in self.known.unclear_tags:
            return None
        if sites:
            listed = " and ".join(sorted(sites))
            right = f"This tag exists at {listed}: add a column site that says which."
        else:
            right = (
                "No such tag in the positions sheet or the register: correct it or "
                "add the position."
            )
        self.report.fault(sheet, row, "tag", tag, right)
        return None

    def pump(self, sheet: str, row: int, values: Values) -> PumpKey | None:
        """The pump of the row's serial number, which the caller has seen."""
        serial = values["serial_number"]
        keys = self.pump_keys(serial, values.get("maker"))
        if len(keys) == 1:
            pump = self.known.pumps[keys[0]]
            if self._is_own(pump.site.name):
                return keys[0]
            right = "This pump belongs to a site where you do not work."
        elif serial in self.known.unclear_serials:
            return None
        elif keys:
            makers = sorted(self.known.pumps[key].maker or "(none)" for key in keys)
            right = (
                f"Several makers use this number ({', '.join(makers)}): add a column "
                "maker that says which."
            )
        else:
            right = (
                "No such pump in the pumps sheet or the register: correct it or add "
                "the pump."
            )
        self.report.fault(sheet, row, "serial_number", serial, right)
        return None

    def pump_keys(self, serial: str, maker: str | None) -> list[PumpKey]:
        """Keys of the pumps with this number, of that maker when one is named."""
        keys = [(m, serial) for m in self.known.makers_of_serial.get(serial, ())]
        if maker is None:
            return keys
        return [key for key in keys if self.known.pumps[key].maker == maker]

    def _is_own(self, site: str) -> bool:
        return site in self.known.own_sites
