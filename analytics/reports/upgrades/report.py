"""An upgrade case worked out: inputs with their sources, result, what it cannot say."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from analytics.exposure import Window, months_back, window_of_months
from analytics.money.errors import MoneyError
from analytics.money.quantities import Quantity
from analytics.money.upgrade import UpgradeInputs, UpgradeResult, upgrade_case
from analytics.reports.upgrades import inputs
from analytics.reports.upgrades.assumptions import (
    DEFAULT_RATE,
    OVERRIDES,
    Assumptions,
    RatioFrom,
)
from analytics.reports.upgrades.drawn import Drawn, drawn_of
from analytics.reports.upgrades.evidence import (
    MoneyEvidence,
    RateEvidence,
    money_evidence,
    rate_evidence,
)
from analytics.reports.upgrades.figures import CaseFigure, figures_of
from analytics.reports.upgrades.history import FailureHistory, failure_history
from analytics.reports.upgrades.inputs import InputLine
from analytics.reports.upgrades.ratios import RatioFound, ratio_found
from analytics.reports.upgrades.record import promise_of
from analytics.reports.upgrades.warnings import warnings_of
from analytics.reports.upgrades.words import headline, out_of_service
from plant.access import require
from plant.models import Position, User
from plant.zones import site_zone
from records.models import UpgradeCase

FLEET_MONTHS = 120
ANOTHER_SOURCE = (
    "Choose another source for the failures avoided, or name the old and the new more "
    "widely."
)


@dataclass(frozen=True)
class UpgradeReport:
    """What the case says on its day.

    `result` is None where the records or the typed figures do not carry it; then
    `refusals` says why. `compared` is the same case with the typed ratio, where one
    stands beside the measured.
    """

    case: UpgradeCase
    positions: tuple[Position, ...]
    assumptions: Assumptions
    window: Window
    inputs: list[InputLine]
    refusals: list[str]
    warnings: list[str]
    rate: RateEvidence | None
    money: MoneyEvidence | None
    ratio: RatioFound
    counting: tuple[str, ...] = ()
    result: UpgradeResult | None = None
    compared: UpgradeResult | None = None

    @property
    def currency(self) -> str:
        return self.case.currency

    @cached_property
    def headline(self) -> str:
        return headline(self.result, self.assumptions, self.refusals)

    @cached_property
    def drawn(self) -> Drawn | None:
        """The draws behind the limits."""
        return None if self.result is None else drawn_of(self.result.inputs)

    @cached_property
    def figures(self) -> list[CaseFigure]:
        """Every figure of the answer; empty where it is refused."""
        if self.result is None:
            return []
        assert self.drawn is not None
        months = self.assumptions.payback_months
        return figures_of(self.result, self.drawn, months)

    def figure(self, key: str) -> CaseFigure:
        return next(figure for figure in self.figures if figure.key == key)

    def as_record(self) -> dict[str, Any]:
        """The promise as plain data."""
        return promise_of(self)


def upgrade_report(
    case: UpgradeCase, user: User, positions: Sequence[Position] | None = None
) -> UpgradeReport:
    """Work a case out; `positions` are needed for one that is not stored yet.

    Raises
    ------
    InvalidAssumptions
        If what is stored in the case cannot be.
    PermissionDenied
        If the user may not see costs.
    """
    require(user, "records.see_costs", site=case.site)
    chosen = case.positions.all() if positions is None else positions
    assumptions = Assumptions.from_json(case.assumptions)
    window = window_of_months(case.as_of, assumptions.window_months)
    since = window.start
    if assumptions.ratio_from == RatioFrom.FLEET:
        since = months_back(case.as_of, FLEET_MONTHS)
    # The case's day ends at the site, wherever it is worked out: page, file or action.
    with site_zone(case.site):
        history = failure_history(user, case.as_of, since, assumptions.what_fails)
        tagged = tuple(sorted(chosen, key=_tag))
        return _Asked(case, tagged, assumptions, window, history).report()


def _tag(position: Position) -> str:
    return position.tag


@dataclass(frozen=True)
class _Asked:
    """One case on its way to the report."""

    case: UpgradeCase
    positions: tuple[Position, ...]
    assumptions: Assumptions
    window: Window
    history: FailureHistory

    def report(self) -> UpgradeReport:
        treated = self.history.chosen({position.pk for position in self.positions})
        found = UpgradeReport(
            *(self.case, self.positions, self.assumptions, self.window, [], [], []),
            *(None, None, RatioFound(), tuple(self.history.scope.rule_in_words())),
        )
        gone = out_of_service(self.positions, self.case.as_of)
        if gone:
            return replace(found, refusals=[gone])
        try:
            rate = rate_evidence(self.history, treated, self.window)
        except MoneyError as refusal:
            return replace(found, refusals=[str(refusal)])
        money = money_evidence(
            *(self.history, treated, rate.members, self.window, self.case.currency)
        )
        ratio = ratio_found(
            *(self.case, self.assumptions, self.history, rate.members, self.window)
        )
        found = replace(found, rate=rate, money=money, ratio=ratio)
        return self._reckoned(replace(found, inputs=list(self._lines(found))))

    def _lines(self, found: UpgradeReport) -> list[InputLine]:
        assert found.rate is not None
        assert found.money is not None
        lines = [inputs.rate_line(found.rate)]
        if found.ratio.ratio is not None:
            lines.append(inputs.ratio_line(found.ratio.ratio, found.ratio.source))
        elif self._is_typed:
            lines.append(inputs.typed_ratio_line(self.assumptions))
        for part in OVERRIDES:
            line = inputs.money_line(part, self.assumptions, found.money)
            lines += [line] if line else []
        lines += inputs.typed_lines(self.assumptions)
        rate, source = self._discount_rate()
        return [*lines, *inputs.setting_lines(self.assumptions, rate, source)]

    @property
    def _is_typed(self) -> bool:
        return self.assumptions.ratio_from == RatioFrom.TYPED

    def _discount_rate(self) -> tuple[float, str]:
        typed, site = self.assumptions.discount_rate, self.case.site.discount_rate
        if typed is not None:
            return float(typed), inputs.TYPED
        if site is not None:
            return float(site), "the site's"
        return float(DEFAULT_RATE), "default"

    def _reckoned(self, found: UpgradeReport) -> UpgradeReport:
        refusals = [found.ratio.refusal, ANOTHER_SOURCE] if found.ratio.refusal else []
        assert found.money is not None
        if inputs.money_quantity("repair_cost", self.assumptions, found.money) is None:
            refusals.append(inputs.too_few_priced(found.money, self.case.currency))
        result = compared = None
        if not refusals:
            try:
                result, compared = self._results(found)
            except MoneyError as refusal:
                refusals.append(str(refusal))
        found = replace(found, result=result, compared=compared, refusals=refusals)
        return replace(found, warnings=warnings_of(found, self.history))

    def _results(
        self, found: UpgradeReport
    ) -> tuple[UpgradeResult, UpgradeResult | None]:
        typed = self.assumptions.typed_ratio
        if found.ratio.ratio is None:
            assert typed is not None
            return upgrade_case(self._inputs(found, typed.quantity)), None
        measured = upgrade_case(self._inputs(found, found.ratio.ratio.quantity))
        if typed is None:
            return measured, None
        return measured, upgrade_case(self._inputs(found, typed.quantity))

    def _inputs(self, found: UpgradeReport, ratio: Quantity) -> UpgradeInputs:
        assert found.rate is not None
        assert found.money is not None
        money = {
            part: quantity
            for part in OVERRIDES
            if (quantity := inputs.money_quantity(part, self.assumptions, found.money))
        }
        return inputs.upgrade_inputs(
            self.assumptions,
            positions=len(self.positions),
            rate=found.rate.quantity,
            ratio=ratio,
            money=money,
            discount_rate=self._discount_rate()[0],
        )
