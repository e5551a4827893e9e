"""How every figure about life is worked out: in words, with its source."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Method:
    """One method; `anchor` is where pages link to."""

    anchor: str
    name: str
    says: str
    formula: str
    source: str


FROM_MEMORY = "from memory"

METHODS = (
    Method(
        "sample",
        "Sample: failed, suspended, left out",
        "Every life of the population is counted once. A life that ended for another "
        "reason than the failure under study, or that still runs, is a suspension: it "
        "says that the part lasted at least so long. A life that was already under "
        "way when the records began enters at the age it had then.",
        "Age in running hours is read from the meter or, without one, is calendar "
        "time times the running share of the position.",
        "ISO 14224 on what to record; the rule in force stands on every page.",
    ),
    Method(
        "weibull",
        "Weibull life with its intervals",
        "The shape tells how parts fail: below 1 early, about 1 by chance, above 1 by "
        "wear. The characteristic life is the age by which 63.2 % have failed. An "
        "interval of 90 % is made by a method that holds the truth in 9 of 10 samples "
        "like this one.",
        "Share surviving an age = exp(-(age / characteristic life) to the power of "
        "the shape), fitted by maximum likelihood. Limits are those of the likelihood "
        "ratio; below 10 failures their threshold comes from simulation, since the "
        "usual one is too narrow. Where positions gave several lives, limits are "
        "widened for it. Mean life = characteristic life x Gamma(1 + 1 / shape).",
        "Meeker and Escobar, Statistical Methods for Reliability Data, 1998, "
        f"chapter 8; {FROM_MEMORY}.",
    ),
    Method(
        "assumed",
        "Life at an assumed shape",
        "With few failures the shape is hardly known. Taking it as known gives a "
        "life and an exact interval; the table shows how the answer moves with the "
        "shape that was taken.",
        "Sum of age to the power of the shape over all lives, less the same of the "
        "entry ages, divided by the failures, to the power of 1 / shape; chi-square "
        "limits with twice the failures (plus 2 for the lower limit) degrees of "
        "freedom.",
        f"Nelson, Applied Life Data Analysis, 1982; {FROM_MEMORY}. Usual shapes: "
        "defaults of the trade, not per standard.",
    ),
    Method(
        "distributions",
        "Other distributions",
        "The same lives are fitted with four distributions; the one that explains "
        "them best for its number of parameters comes first, if the data can tell.",
        "AICc = 2 k - 2 ln L + 2 k (k + 1) / (n - k - 1), with k parameters, n lives "
        "and the likelihood L at its maximum. The curve without a distribution is "
        "Kaplan-Meier with late entries.",
        "Burnham and Anderson, Model Selection and Multimodel Inference, 2nd "
        f"edition, 2002, chapter 2; {FROM_MEMORY}.",
    ),
    Method(
        "comparison",
        "Comparison of groups",
        "One life for all groups is held against a life for each. The chance given "
        "is that of a gap as large as this one, were the lives equal.",
        "Twice the gain in log-likelihood; with fewer than 20 failures in a group it "
        "is judged by 1,999 random exchanges of lives between the groups, else by "
        "chi-square with 2 degrees of freedom for each further group. The ratio of "
        "lives comes from a Weibull regression with a common shape.",
        "Lawless, Statistical Models and Methods for Lifetime Data, 2nd edition, "
        f"2003, sections 5.4 and 6.3; {FROM_MEMORY}.",
    ),
    Method(
        "replacement",
        "Best age of planned replacement",
        "A planned change costs less than a failure but throws life away. The best "
        "age is where the cost per hour is least. Without wear (shape 1 or below) or "
        "when a failure costs no more, there is none.",
        "Cost per unit of time = (planned cost x share that reaches the age + failure "
        "cost x share that does not) / mean time until either. The interval is over "
        "500 lives drawn within the doubt about the fit. All at fixed intervals: "
        "(planned cost + failure cost x expected renewals) / interval.",
        "Barlow and Proschan, Mathematical Theory of Reliability, 1965, chapter 4; "
        f"{FROM_MEMORY}.",
    ),
    Method(
        "forecast",
        "Failures ahead and spares",
        "Each life in service has reached some age; its chance of failing soon "
        "follows from it. Failed parts are taken to be replaced by new ones of the "
        "same kind.",
        "Chance within the time ahead = 1 - share surviving (age + time) / share "
        "surviving (age). The sum is over all parts and their renewals; interval and "
        "stock are those of simulated years, in which shape and life are drawn anew "
        "within their doubt. Calendar days become running hours by the running share "
        "of each position.",
        f"Nelson, Applied Life Data Analysis, 1982; {FROM_MEMORY}.",
    ),
    Method(
        "rating",
        "Rating life of bearings",
        "The rating life is what 90 % of like bearings reach if they die of fatigue "
        "only. Most pump bearings die of dirt, water or bad lubrication first, so an "
        "observed B10 below it is a hint where to look and no fault of the bearing.",
        "L10h = 1,000,000 / (60 x speed in r/min) x (C / P) to the power of 3 for "
        "ball bearings and 10/3 for roller bearings.",
        "ISO 281:2007, found in public guides to it.",
    ),
    Method(
        "drivers",
        "What drives life",
        "Life is compared across all chosen facts at once, so that each ratio holds "
        "with the others equal. A ratio of 2 says that life is twice as long. Such a "
        "ratio is an association and proves no cause.",
        "Weibull regression: log of the characteristic life = sum of coefficient x "
        "fact, common shape, by maximum likelihood with suspensions and late entries; "
        "limits robust to several lives of one position. What stands out holds with "
        "the share of false discoveries held at 10 %. Facts that repeat others are "
        "refused by name.",
        "Lawless, Statistical Models and Methods for Lifetime Data, 2nd edition, "
        "2003, chapter 6; Benjamini and Hochberg, Journal of the Royal Statistical "
        f"Society B 57, 1995; {FROM_MEMORY}.",
    ),
    Method(
        "trend",
        "Trend of whole pumps",
        "A whole pump is repaired and goes on, so its repairs are counted by time on "
        "record. The mean curve says how many a position had by then; two tests ask "
        "whether they come faster or slower, and a trend is told when both say so.",
        "Mean curve: sum of events / positions watched, with limits robust to events "
        "in clusters. Laplace: mean of the times of events against the middle of the "
        "watch. MIL-HDBK-189: 2 x sum of ln(end / time of event), chi-square. Power "
        "law: expected events = scale x time to the power of the shape.",
        "Nelson, Recurrent Events Data Analysis, 2003; Rigdon and Basu, Statistical "
        "Methods for the Reliability of Repairable Systems, 2000; MIL-HDBK-189, 1981; "
        f"{FROM_MEMORY}.",
    ),
)
